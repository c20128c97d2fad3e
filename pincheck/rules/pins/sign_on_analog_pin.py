"""An analog pin carries a sign.

A sensor that is measured has no level to turn over, and a pull of the chip beside the board's own
pull-up would falsify it. Firmware refuses such a line, or reads the sensor upside down.
"""

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Finding, Moment, Severity
from pincheck.model.role import split
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="public sources of the styles",
    fires=example("section", ("toolhead.cfg", "sensor_pin: PC5", "sensor_pin: !PC5")),
    quiet=example("section", ("machine.cfg", "switch_pin: ^!PC3", "switch_pin: !^PC3")),
)
def sign_on_analog_pin(case: Case) -> Outcomes:
    """Look at how the pin of every sensor that is measured is written."""
    style = styles.of(case.claims.style)
    for claim in case.claims.all if style.pulls else ():
        group, _, function = split(claim.role)
        measured = claim.attribute == "pin" and function == "sensor" and group != "filament"
        if measured and isinstance(claim.value, PinValue) and claim.active and claim.setting:
            written = style.parted(claim.value.written)
            if written.inverted or written.pull != "none":
                yield _finding(claim, claim.value.written)


def _finding(claim: Claim, written: str) -> Finding:
    return Finding(
        spots=((claim.role, "pin"),),
        message=(
            f"The pin of the {roles.name(claim.role)} is written as {written}, but what is "
            f"measured has no level: the firmware refuses the line or reads it upside down."
        ),
        claims=(claim,),
        advice="Take the sign before the pin's name away.",
    )
