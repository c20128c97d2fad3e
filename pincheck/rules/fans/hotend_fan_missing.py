"""No setting switches the hot-end fan on.

The hot-end fan keeps the upper part of the hot end cold. When nothing starts it, heat creeps up
within minutes of printing, the filament softens above the melt zone and jams, and a printed fan
duct or carriage next to it sags. A liner is cooked up to its upper end then, a danger.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.hotend_fans import standing_still
from pincheck.analysis.pairings import pairings
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.finding import Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.role import sibling
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("define", ("machine_adv.h", "E0_AUTO_FAN_PIN PB6", "E0_AUTO_FAN_PIN -1")),
    quiet=example("define", ("machine_adv.h", "E0_AUTO_FAN_PIN PB6", "E0_AUTO_FAN_PIN FAN1_PIN")),
)
def hotend_fan_missing(case: Case) -> Outcomes:
    """Look for a hot-end fan with a chip pin that no active claim reaches."""
    claimed = {pairing.place for pairing in pairings(case)}
    for wired in case.fitted("fan"):
        role, place = wired.role, wired.place
        if roles.family(role) != "hotend.fan" or place is None or place in claimed:
            continue
        if role in case.claims.switched_off:
            continue
        claim = case.known(role, "pin")
        if isinstance(claim, Unchecked):
            yield claim
        elif other := case.used_elsewhere(wired, place):
            yield other
        elif claim is None or (isinstance(claim.value, PinValue) and claim.value.absent):
            claim = claim or case.claims.commented_out.get(role)
            yield Finding(
                severity=standing_still(case, role),
                spots=((role, "pin"),),
                message=(
                    f"Nothing in the configuration uses {case.at(place)}, where the "
                    f"{roles.name(role)} is wired: it {roles.left_alone(role)}."
                ),
                claims=(claim,) if isinstance(claim, Claim) else (),
                facts=(fact(wired, "pin", case.at(place)),),
                changes=tuple(_changes(case, wired, place, claim)),
            )


def _changes(case: Case, wired: Wired, place: Place, pin: Claim | None) -> Iterator[Change]:
    yield Change(wired.role, "pin", PinValue(place.pin, place), pin)
    said = case.claims.find(wired.role, "watches") or case.claims.waits(wired.role, "watches")
    if not said:
        yield Change(wired.role, "watches", str(sibling(wired.role, "heater")))
