"""A pin that the chip does not have."""

from collections.abc import Iterator
from difflib import get_close_matches

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import pairings
from pincheck.model.finding import Finding, Outcome, Severity, Unchecked
from pincheck.rules.rule import example, rule


@rule(
    id="pin-missing-on-chip",
    severity=Severity.FAULT,
    title="The chip has no such pin",
    reason=(
        "The same chip comes in packages with fewer or more legs. A pin that the fitted package "
        "does not bring out drives and reads nothing, and firmware may refuse to build or start."
    ),
    source="pin lists of the chip makers' data sheets",
    failing=example("section", ("clean/section/toolhead.cfg", "pin: PB8", "pin: PE8")),
    passing=example("gcode", ("clean/gcode/toolhead.g", 'C"fan2"', 'C"pb8"')),
)
def pin_missing_on_chip(case: Case) -> Iterator[Outcome]:
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
            rule="pin-missing-on-chip",
            severity=Severity.FAULT,
            spots=pairing.spots(case),
            message=(
                f"{chip.name} has no pin {pairing.place.pin}{f' ({hint})' if hint else ''}: the "
                f"{roles.name(pairing.role)} {roles.left_alone(pairing.role)}."
            ),
            claims=(pairing.claim,),
            facts=pairing.facts(case),
            changes=pairing.change(),
        )
