"""A part is fitted and the firmware has no pin for it.

A part that no setting names is never driven or read. Nothing reports it: the part simply stays as
it is at power-on. The hot-end fan and what a key switches off have rules of their own.
"""

from pincheck.analysis import polarity, roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import home, pairings, same_job
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("gcode", ("toolhead.g", 'M950 S0 C"servo0"', ';M950 S0 C"servo0"')),
    quiet=example("gcode", ("toolhead.g", 'M950 S0 C"servo0"', 'M950 S0 C"pa1"')),
)
def role_not_configured(case: Case) -> Outcomes:
    """Look at every fitted role with a chip pin that no active claim reaches."""
    paired = pairings(case)
    # A part whose neighbour on the same pin is claimed elsewhere is named with the neighbour.
    claimed = {pairing.place for pairing in paired} | {pairing.home for pairing in paired}
    for wired in case.trace.wired:
        place = home(wired)
        told = roles.family(wired.role) == "hotend.fan" or wired.role in case.claims.switched_off
        if place is None or place in claimed or told:
            continue
        claim = _mates_doubt(case, wired) or case.known(wired.role, "pin")
        if isinstance(claim, Unchecked):
            yield claim
        elif roles.function(wired.role) == "motor" and claim is None:
            yield Unchecked(wired.role, "pin", "the files name no pins for this motor")
        elif other := case.used_elsewhere(wired, place):
            yield other
        elif claim is None or _absent(claim):
            yield _finding(case, wired, claim)


def _mates_doubt(case: Case, wired: Wired) -> Unchecked | None:
    """Return why it is not certain that a part of the same kind on the same pin is not driven."""
    for mate in case.trace.wired:
        if mate.role != wired.role and same_job(mate.role, wired.role):
            known = case.known(mate.role, "pin")
            if home(mate) == home(wired) and isinstance(known, Unchecked):
                return Unchecked(wired.role, "pin", known.reason)
    return None


def _absent(claim: Claim) -> bool:
    return isinstance(claim.value, PinValue) and claim.value.absent


def _finding(case: Case, wired: Wired, claim: Claim | None) -> Finding:
    role, place = wired.role, home(wired)
    assert place is not None
    claim = claim or case.claims.commented_out.get(role)
    changes = [Change(role, "pin", PinValue(place.pin, place), claim)]
    watched = roles.function(role) == "tachometer"
    if watched and (pull := polarity.pull_needed(wired)):
        changes.append(Change(role, "pull", pull, claim))
    return Finding(
        severity=Severity.ADVICE if watched else Severity.FAULT,
        spots=((role, "pin"),),
        message=(
            f"Nothing in the configuration uses {case.at(place)}, where the {roles.name(role)} is "
            f"wired: it {roles.left_alone(role)}."
        ),
        claims=(claim,) if claim else (),
        facts=(fact(wired, "pin", case.at(place)),),
        changes=tuple(changes),
    )
