"""Software PWM cannot make the frequency that is asked for.

Software PWM switches the pin from the main clock, beside motion. It keeps on and off times of
about a tenth of a millisecond; a faster frequency leaves no steps between off and full, floods
the chip with events and can stop a print with a timing error.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed
from pincheck.analysis.pwm_outputs import PwmOutput, outputs
from pincheck.model.finding import Agreement, Change, Finding, Number, Severity
from pincheck.physics.pwm import SOFTWARE_STEPS, software_max_hz, software_steps
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "cycle_time: 0.010", "cycle_time: 0.00005")),
    quiet=example("section", ("toolhead.cfg", "cycle_time: 0.010", "cycle_time: 0.001")),
    thresholds=(SOFTWARE_STEPS,),
)
def pwm_too_fast_for_software(case: Case) -> Outcomes:
    """Compare each frequency of software PWM with what a small chip keeps up."""
    for output in outputs(case):
        if output.frequency is None or output.hz is None or output.software is None:
            continue
        if output.software.value is not True:
            continue
        steps = software_steps(output.hz)
        if steps >= SOFTWARE_STEPS:
            yield Agreement(output.role, "pwm_hz")
            continue
        yield Finding(
            spots=((output.role, "pwm_hz"),),
            message=(
                f"The {roles.name(output.role)} asks for {output.hz:g} Hz by software, which "
                f"leaves {steps} steps between off and full: it is only on or off, and the chip "
                f"is kept too busy."
            ),
            claims=(output.frequency,),
            numbers=(
                Number("steps", steps, "", "1 / (frequency x 0.1 ms)",
                       (claimed(output.frequency),), "common practice"),
            ),
            changes=(_change(case, output),),
        )  # fmt: skip


def _change(case: Case, output: PwmOutput) -> Change:
    """Return what a timer can do for a part that needs the frequency, else a slower one."""
    wired = case.trace.find(output.role)
    highest = software_max_hz()
    if wired and (wired.part.pwm_min_hz or 0.0) > highest:
        return Change(output.role, "software_pwm", False, output.software)
    return Change(output.role, "pwm_hz", highest, output.frequency)
