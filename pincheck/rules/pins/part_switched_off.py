"""A part is fitted and the firmware has it switched off.

One key decides whether the firmware uses a bed, a hot end, a probe or a filament sensor at all.
While it says no, the pins, limits and tables of that part count for nothing, however right they
are.
"""

from collections.abc import Sequence

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.hotend_fans import standing_still
from pincheck.analysis.pairings import home, pairings
from pincheck.model.claim import Claim, PinValue, SensorValue
from pincheck.model.finding import Change, Finding, Severity
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("define", ("machine.h", "TEMP_SENSOR_BED 11", "TEMP_SENSOR_BED 0")),
    quiet=example("define", ("machine.h", "TEMP_SENSOR_BED 11", "TEMP_SENSOR_BED 1")),
)
def part_switched_off(case: Case) -> Outcomes:
    """Look at every line that switches off something wired to a chip pin that nothing uses."""
    claimed = {pairing.place for pairing in pairings(case)}
    off: dict[int, list[tuple[Wired, Claim]]] = {}
    for wired in case.trace.wired:
        claim = case.claims.switched_off.get(wired.role)
        if claim and (place := home(wired)) and place not in claimed:
            off.setdefault(id(claim.near), []).append((wired, claim))
    for parts in off.values():
        yield _finding(case, [wired for wired, _ in parts], parts[0][1])


def _finding(case: Case, parts: Sequence[Wired], claim: Claim) -> Finding:
    effects = (f"the {roles.name(w.role)} {roles.left_alone(w.role)}" for w in parts)
    blind = any(roles.stops_the_nozzle(wired.role, case.trace.roles()) for wired in parts)
    return Finding(
        severity=Severity.DANGER if blind else standing_still(case, *(w.role for w in parts)),
        spots=tuple((wired.role, "pin") for wired in parts),
        message=f"{claim.origin}: {'; '.join(effects)}.",
        claims=(claim,),
        facts=tuple(
            fact(wired, "pin", case.at(place)) for wired in parts if (place := home(wired))
        ),
        changes=(_change(case, parts, claim),),
    )


def _change(case: Case, parts: Sequence[Wired], claim: Claim) -> Change:
    """Return what switches it on: the sensor or probe that is fitted, else the pin itself."""
    groups = {split(wired.role)[:2] for wired in parts}
    mates = (wired for wired in case.trace.wired if split(wired.role)[:2] in groups)
    for wired in (*parts, *mates):
        if sensor := wired.part.sensor:
            return Change(wired.role, "table", SensorValue(sensor, sensor))
        if kind := wired.part.probe_kind:
            return Change(wired.role, "probe_kind", kind)
    place = home(parts[0])
    assert place is not None
    return Change(parts[0].role, "pin", PinValue(place.pin, place), claim)
