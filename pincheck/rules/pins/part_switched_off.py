"""A fitted part that one line of the configuration leaves out."""

from collections.abc import Iterator, Sequence

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import home, pairings
from pincheck.model.claim import Claim, PinValue, SensorValue
from pincheck.model.finding import Change, Finding, Outcome, Severity
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.rules.rule import example, rule


@rule(
    id="part-switched-off",
    severity=Severity.FAULT,
    title="A part is fitted and the firmware has it switched off",
    reason=(
        "One key decides whether the firmware uses a bed, a hot end, a probe or a filament sensor "
        "at all. While it says no, the pins, limits and tables of that part count for nothing, "
        "however right they are."
    ),
    source="common practice",
    failing=example(
        "define", ("clean/define/machine.h", "TEMP_SENSOR_BED 11", "TEMP_SENSOR_BED 0")
    ),
    passing=example(
        "define", ("clean/define/machine.h", "TEMP_SENSOR_BED 11", "TEMP_SENSOR_BED 1")
    ),
)
def part_switched_off(case: Case) -> Iterator[Outcome]:
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
    return Finding(
        rule="part-switched-off",
        severity=Severity.FAULT,
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
