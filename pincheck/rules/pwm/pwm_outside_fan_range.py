"""The fan's PWM input does not follow the frequency.

A fan with a PWM input of its own is made for a narrow band, usually around 25 kHz. At the few
hundred hertz of an ordinary fan output it whines, jumps between speeds or stands still.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, fact, part_of
from pincheck.analysis.pwm_outputs import outputs
from pincheck.model.claim import Claim
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Input,
    Number,
    Severity,
    Unchecked,
)
from pincheck.rules.rule import Outcomes, example, rule

_SOCKET = (
    "boards/heron-2.toml",
    "[connectors.filament]",
    '[connectors.fan4]\npins = ["GND", "24V", "", "FAN1"]\n\n[connectors.filament]',
)
_FIT = (
    "marsh-230-c.toml",
    "[fit.filament]",
    '[fit.spare_fan]\nrole = "aux.fan"\nat = "main.fan4"\npart = "fan-24v-4wire"\n\n[fit.filament]',
)


def _configured(hertz: int) -> tuple[str, str, str]:
    old = "[idle_timeout]"
    fan = f"[fan_generic spare]\npin: PB7\nhardware_pwm: True\ncycle_time: {1 / hertz:.6f}"
    return "machine.cfg", old, f"{fan}\n\n{old}"


@rule(
    Severity.FAULT,
    source="frequency range of the fitted part",
    fires=example("section", _SOCKET, _FIT, _configured(250)),
    quiet=example("section", _SOCKET, _FIT, _configured(25000)),
)
def pwm_outside_fan_range(case: Case) -> Outcomes:
    """Compare each claimed frequency with the range of the fitted fan."""
    said = {output.role for output in outputs(case) if output.hz is not None}
    for fan in case.fitted("fan"):
        ranged = fan.part.pwm_min_hz is not None and fan.part.pwm_max_hz is not None
        if ranged and fan.role not in said and isinstance(case.known(fan.role, "pin"), Claim):
            reason = "the files do not say how fast it is switched, and the fan wants a frequency"
            yield Unchecked(fan.role, "pwm_hz", reason)
    for output in outputs(case):
        wired = case.trace.find(output.role)
        if wired is None or output.frequency is None or output.hz is None:
            continue
        low, high = wired.part.pwm_min_hz, wired.part.pwm_max_hz
        if low is None or high is None:
            continue
        if low <= output.hz <= high:
            yield Agreement(output.role, "pwm_hz")
            continue
        middle = (low + high) / 2
        yield Finding(
            spots=((output.role, "pwm_hz"),),
            message=(
                f"The {roles.name(output.role)} takes {low:g} to {high:g} Hz and gets "
                f"{output.hz:g} Hz: it whines, jumps between speeds or stands still."
            ),
            claims=(output.frequency,),
            facts=(fact(wired, "pwm_hz", f"{low:g} to {high:g} Hz"),),
            numbers=(
                Number(
                    "middle of the fan's range",
                    middle,
                    "Hz",
                    "(lowest + highest) / 2",
                    (
                        claimed(output.frequency),
                        Input("lowest", low, "Hz", part_of(wired)),
                        Input("highest", high, "Hz", part_of(wired)),
                    ),
                    "data sheet of the part",
                ),
            ),
            changes=(Change(output.role, "pwm_hz", middle, output.frequency),),
        )
