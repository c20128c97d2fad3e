"""Hardware PWM is asked of a pin that cannot make it.

Only some pins are outputs of a hardware timer. On any other the firmware refuses to start, or the
output is only ever fully on or off. So it is at a frequency so near to the timer's own clock that
no steps are left between off and full.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed
from pincheck.analysis.pwm_outputs import PwmOutput, outputs
from pincheck.analysis.pwm_steps import Steps, most_steps
from pincheck.model.claim import Claim
from pincheck.model.finding import Change, Finding, Number, Severity
from pincheck.physics.pwm import SOFTWARE_STEPS
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="pin functions in the chip makers' device data",
    fires=example(
        "section",
        ("boards/heron-2.toml", '[nets.FAN2]\nchip_pin = "PB8"', '[nets.FAN2]\nchip_pin = "PC13"'),
        ("toolhead.cfg", "pin: PB8", "pin: PC13"),
        ("toolhead.cfg", "#hardware_pwm: True", "hardware_pwm: True"),
    ),
    quiet=example("section", ("toolhead.cfg", "#hardware_pwm: True", "hardware_pwm: True")),
)
def pwm_not_possible(case: Case) -> Outcomes:
    """Look up the timers of every pin that hardware PWM is asked of."""
    for output in outputs(case):
        if not output.right or not output.hardware:
            continue
        if output.frequency and (most := most_steps(case, output)):
            if most.steps < SOFTWARE_STEPS and _fast(output):
                yield _too_fast(output, output.frequency, most)
            continue
        if output.software is None or output.software.setting is None:
            continue
        if output.timers is None or output.timers:
            continue
        yield Finding(
            spots=((output.role, "software_pwm"),),
            message=(
                f"{case.at(output.place)} is the output of no hardware timer: the firmware refuses "
                f"to start, or the {roles.name(output.role)} is only ever fully on or off."
            ),
            claims=(output.software, output.pin),
            changes=(Change(output.role, "software_pwm", True, output.software),),
        )


_USUAL_HZ = 250.0
"""A frequency that two-wire fans are commonly switched at (`common practice`)."""


def _fast(output: PwmOutput) -> bool:
    """Return whether a timer runs out of steps for haste; one may also count too far for 50 Hz."""
    return output.hz is not None and output.hz > _USUAL_HZ


def _too_fast(output: PwmOutput, frequency: Claim, most: Steps) -> Finding:
    return Finding(
        spots=((output.role, "pwm_hz"),),
        message=(
            f"The {roles.name(output.role)} asks for {output.hz:.0f} Hz, of which {most.timer} "
            f"leaves {most.steps} steps between off and full: it is only ever fully on or off, or "
            f"the firmware refuses to start."
        ),
        claims=(frequency, output.pin),
        numbers=(
            Number("steps", most.steps, "", "highest timer clock / frequency",
                   (claimed(frequency), *most.inputs), most.source),
        ),
        changes=(Change(output.role, "pwm_hz", _USUAL_HZ, frequency),),
    )  # fmt: skip
