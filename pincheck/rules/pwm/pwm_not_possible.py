"""Hardware PWM asked of a pin without a timer."""

from collections.abc import Iterator

from pincheck.model.finding import Change, Finding, Outcome, Severity
from pincheck.rules import words
from pincheck.rules.base import Case, example, rule
from pincheck.rules.pwm.outputs import outputs


@rule(
    id="pwm-not-possible",
    severity=Severity.FAULT,
    title="Hardware PWM is asked of a pin without a timer",
    reason=(
        "Only some pins are outputs of a hardware timer. On any other the firmware refuses to "
        "start, or the output is only ever fully on or off."
    ),
    source="pin functions in the chip makers' device data",
    failing=example(
        "section",
        ("boards/heron-2.toml", '[nets.FAN2]\nchip_pin = "PB8"', '[nets.FAN2]\nchip_pin = "PC13"'),
        ("clean/section/toolhead.cfg", "pin: PB8", "pin: PC13"),
        ("clean/section/toolhead.cfg", "#hardware_pwm: True", "hardware_pwm: True"),
    ),
    passing=example(
        "section", ("clean/section/toolhead.cfg", "#hardware_pwm: True", "hardware_pwm: True")
    ),
)
def pwm_not_possible(case: Case) -> Iterator[Outcome]:
    """Look up the timers of every pin that hardware PWM is asked of."""
    for output in outputs(case):
        if (
            not output.right
            or not output.hardware
            or output.software is None
            or output.software.setting is None
        ):
            continue
        if output.timers is None or output.timers:
            continue
        yield Finding(
            rule="pwm-not-possible",
            severity=Severity.FAULT,
            spots=((output.role, "software_pwm"),),
            message=(
                f"{case.at(output.place)} is the output of no hardware timer: the firmware refuses "
                f"to start, or the {words.name(output.role)} is only ever fully on or off."
            ),
            claims=(output.software, output.pin),
            changes=(Change(output.role, "software_pwm", True, output.software),),
        )
