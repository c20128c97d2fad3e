"""The firmware knows no pin of this name.

A pin goes by the name that the firmware has for it, or by one that the configuration itself
gives. Any other name ends in an error at start-up, be it only small letters where the firmware
knows capitals.
"""

from difflib import get_close_matches

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import home, same_job
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Change, Finding, Moment, Severity
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="public sources of the style",
    fires=example("gcode", ("toolhead.g", 'F0 C"fan2"', 'F0 C"fan9"')),
    quiet=example("gcode", ("toolhead.g", 'F0 C"fan2"', 'F0 C"FAN2"')),
)
def pin_name_unknown(case: Case) -> Outcomes:
    """Look at every line that names a pin, whatever it uses it for."""
    told = set()
    for claim in (*case.claims.all, *case.claims.elsewhere):
        pin = claim.value
        if not isinstance(pin, PinValue) or not pin.misnamed or not claim.active:
            continue
        if claim.setting and id(claim.setting) not in told and not _may_be_named(case, claim):
            told.add(id(claim.setting))
            yield _finding(case, claim, pin)


def _may_be_named(case: Case, claim: Claim) -> bool:
    """Tell whether a file that was not sent may give a pin this name."""
    assert isinstance(claim.value, PinValue)
    return claim.value.place is None and bool(case.claims.doubt(claim.role, "pin"))


def _finding(case: Case, claim: Claim, pin: PinValue) -> Finding:
    style = styles.of(case.claims.style)
    written = style.parted(pin.written).name.strip()
    wired = case.trace.find(claim.role)
    kin = [w for w in case.trace.wired if pin.place and home(w) == pin.place]
    meant = pin.place if any(same_job(w.role, claim.role) for w in kin) else None
    place = meant or (home(wired) if wired else None) or pin.place
    near = pin.place.pin if pin.place else _nearest(case, written)
    changes = (Change(claim.role, "pin", PinValue("", place), claim),) if place else ()
    role = claim.role or _beside(case, claim)
    said = pin.unknown or f"the firmware knows no pin {written!r}"
    effect = f", and the {roles.name(role)} {roles.left_alone(role)}" if claim.role else ""
    return Finding(
        spots=((role, claim.attribute),),
        message=(
            f"{said[:1].upper()}{said[1:]}{f' (the nearest name is {near})' if near else ''}: the "
            f"firmware stops at it with an error{effect}."
        ),
        claims=(claim,),
        facts=(fact(wired, "pin", case.at(place)),) if wired and place else (),
        advice="Write the name that the board or the chip has for the pin.",
        changes=changes if claim.attribute == "pin" and claim.role else (),
    )


def _beside(case: Case, line: Claim) -> str:
    """Return the role that a line about none belongs to: that of its section, else any."""
    section = line.setting.section if line.setting else ""
    beside = (c.role for c in case.claims.all if c.setting and c.setting.section == section)
    return next(beside, case.roles[0])


def _nearest(case: Case, written: str) -> str:
    names = (
        name
        for board in case.assembly.boards.values()
        for name in board.pin_names.get(case.claims.style, {})
    )
    return next(iter(get_close_matches(written, names, 1)), "")
