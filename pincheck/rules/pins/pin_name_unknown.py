"""A pin has a name that the board does not know.

The firmware looks a pin's name up in the board's own list when it starts. A name that is not there
is an error: the command does nothing, and what it was to set up is missing.
"""

from difflib import get_close_matches

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import home
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Change, Finding, Severity
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="public sources of the style",
    fires=example("gcode", ("toolhead.g", 'M950 F0 C"fan2"', 'M950 F0 C"fan9"')),
    quiet=example("gcode", ("toolhead.g", 'M950 F0 C"fan2"', 'M950 F0 C"FAN2"')),
)
def pin_name_unknown(case: Case) -> Outcomes:
    """Name each pin that the board's list lacks, where the wiring gives that list."""
    for claim in case.claims.all:
        value = claim.value
        if claim.attribute != "pin" or not isinstance(value, PinValue) or not value.misnamed:
            continue
        if claim.active and claim.setting:
            yield _finding(case, claim, value)


def _finding(case: Case, claim: Claim, value: PinValue) -> Finding:
    role, wired = claim.role, case.trace.find(claim.role)
    place = home(wired) if wired else None
    names = [n for board in case.assembly.boards.values()
             for n in board.pin_names.get(case.claims.style, {})]  # fmt: skip
    near = get_close_matches(value.written.lstrip("!^*").lower(), names, 1)
    hint = f" (the nearest name is {near[0]})" if near else ""
    return Finding(
        spots=((role, "pin"),),
        message=(
            f"{value.unknown[:1].upper()}{value.unknown[1:]}{hint}: the firmware stops at it with "
            f"an error, and the {roles.name(role)} {roles.left_alone(role)}."
        ),
        claims=(claim,),
        facts=(fact(wired, "pin", case.at(place)),) if wired and place else (),
        changes=(Change(role, "pin", PinValue(place.pin, place), claim),) if place else (),
        advice="Write the name that the board has for the pin.",
    )
