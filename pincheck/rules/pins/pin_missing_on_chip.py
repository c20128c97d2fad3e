"""The chip has no such pin.

The same chip comes in packages with fewer or more legs. A pin that the fitted package does not
bring out drives and reads nothing, and firmware may refuse to build or start.
"""

from difflib import get_close_matches

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import pairings
from pincheck.model.finding import Finding, Moment, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="pin lists of the chip makers' data sheets",
    fires=example("section", ("toolhead.cfg", "pin: PB8", "pin: PE8")),
    quiet=example("gcode", ("toolhead.g", 'C"fan2"', 'C"pb8"')),
)
def pin_missing_on_chip(case: Case) -> Outcomes:
    """Look up every claimed pin in the chip's data."""
    for pairing in pairings(case):
        chip = case.chip_on(pairing.place.board)
        if chip is None:
            if pairing.wired is None:
                yield Unchecked(pairing.role, "pin", "nobody knows the chip's pins")
            continue
        if pairing.kind != "missing-on-chip":
            continue
        near = get_close_matches(pairing.place.pin, chip.pins, 1)
        wired = f"it is wired to {case.at(pairing.home)}" if pairing.home else ""
        hint = wired or (f"the nearest name is {near[0]}" if near else "")
        yield Finding(
            spots=pairing.spots(case),
            message=(
                f"{chip.name} has no pin {pairing.place.pin}{f' ({hint})' if hint else ''}: the "
                f"{roles.name(pairing.role)} {roles.left_alone(pairing.role)}."
            ),
            claims=(pairing.claim,),
            facts=pairing.facts(case),
            changes=pairing.change(),
        )
