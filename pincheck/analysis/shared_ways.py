"""What several parts together send through one contact, track or wire."""

from collections import defaultdict
from collections.abc import Hashable, Iterator

from attrs import frozen

from pincheck.analysis import roles
from pincheck.analysis.case import Case, part_of
from pincheck.analysis.current_ratings import Strain, strains
from pincheck.analysis.heater_element import element
from pincheck.model.finding import Input
from pincheck.model.path import Wired

_DRAWS = ("heater", "fan", "output", "signal", "servo")


@frozen
class Carried:
    """One thing on the way and everyone through it, each with its effective current.

    `unknown` are the roles whose current nobody gives: the sum is then the least that flows.
    """

    strain: Strain
    users: tuple[tuple[Wired, float], ...]
    unknown: tuple[str, ...]

    @property
    def total_a(self) -> float:
        """Everything on at once."""
        return sum(current for _, current in self.users)

    def inputs(self) -> tuple[Input, ...]:
        """Return each current and the part that draws it."""
        return tuple(
            Input(f"current of {roles.name(w.role)}", current, "A", part_of(w))
            for w, current in self.users
        )


def carried(case: Case) -> dict[Hashable, Carried]:
    """Return every contact, track and wire with what flows through it, by `Strain.key`."""
    if "carried" in case.kept:
        kept: dict[Hashable, Carried] = case.kept["carried"]
        return kept
    found: dict[Hashable, list[tuple[Strain, Wired]]] = defaultdict(list)
    counted: set[str] = set()
    for wired in case.fitted(*_DRAWS):
        # A probe with a servo has two roles and draws its current once.
        if wired.fit.name in counted or wired.supply_v is None:
            continue
        counted.add(wired.fit.name)
        for key, way in {way.key: way for way in _ways(wired)}.items():
            found[key].append((way, wired))
    made = {key: _carried(case, through) for key, through in found.items()}
    case.kept["carried"] = made
    return made


def _ways(wired: Wired) -> Iterator[Strain]:
    # A fan's or heater's current passes its switched line; a probe's signal carries none.
    switched = roles.function(wired.role) in ("heater", "fan", "output") and wired.path.switch
    first, second = (wired.path, wired.supply) if switched else (wired.supply, None)
    if first:
        yield from (way for way in strains(first, second) if way.key is not None)


def _carried(case: Case, through: list[tuple[Strain, Wired]]) -> Carried:
    currents = [(wired, _current_a(case, wired)) for _, wired in through]
    known = tuple((wired, current) for wired, current in currents if current is not None)
    unknown = tuple(wired.role for wired, current in currents if current is None)
    return Carried(through[0][0], known, unknown)


def _current_a(case: Case, wired: Wired) -> float | None:
    if roles.function(wired.role) == "heater":
        found = element(case, wired)
        return None if isinstance(found, str) else found.rms_a
    return wired.part.current_a
