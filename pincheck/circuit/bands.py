"""Between what a reading of a solution may lie, by all that is only assumed.

How a reading changes with a resistance follows from one more solution with a source where it is
taken (reciprocity; Tellegen's theorem). It is monotonic in each single resistance, so that its
ends are found at corners of the assumptions.
"""

from collections.abc import Iterable, Mapping

from attrs import evolve, field

from pincheck.circuit.network import Band, Key, Node
from pincheck.circuit.solve import Solution
from pincheck.model.frozen import frozen


def current_band(found: Solution, *keys: Key) -> Band:
    """Return the current of elements side by side in A, its ends over what is only assumed."""
    return _band(found, _currents(found, keys))


def volts_band(found: Solution, one: Node, two: Node) -> Band | None:
    """Return the voltage from one node to another and its ends, None where one of them floats."""
    if found.volts(one) is None or found.volts(two) is None:
        return None
    return _band(found, _Reading(one, two))


def spread_a(found: Solution, *keys: Key) -> float:
    """Return how far the current of elements side by side may be off for what is assumed."""
    return _spread(found, _currents(found, keys))


def most_volts(found: Solution, one: Node, two: Node) -> float:
    """Return the most volts between two nodes, either way, for what is assumed; 0 if one floats."""
    if found.volts(one) is None or found.volts(two) is None:
        return 0.0
    return abs(found.volts_between(one, two)) + _spread(found, _Reading(one, two))


def _spread(found: Solution, reading: "_Reading") -> float:
    """Return how far a reading may be off for what is assumed.

    By its slopes alone, which is right as far as the assumptions are small, and soon found.
    """
    spread = 0.0
    for key, slope in _slopes(found, reading).items():
        if slope and (ends := _ends(found, key)):
            nominal = found.circuit.network.elements[key].ohm.nominal
            spread += abs(slope) * max(ends[1] - nominal, nominal - ends[0])
    return spread


def by_sources(found: Solution, one: Node, two: Node) -> Mapping[Key, float]:
    """Return the volts that each source makes from one node to another, by reciprocity."""
    first, second = found.circuit.number(one), found.circuit.number(two)
    if first is None or second is None or found.floating & {one, two}:
        return {}
    volts = found.mesh.volts({first: 1.0, second: -1.0})
    placed = ((key, g, *found.circuit.placed[key]) for key, g in found.live.items())
    return {k: g * it.emf_v * (volts[far] - volts[near]) for k, g, it, near, far in placed}


@frozen
class _Reading:
    """The voltage from one node to another, or the sum of elements' currents with their signs."""

    one: Node | None = None
    two: Node | None = None
    signs: Mapping[Key, float] = field(factory=dict)

    def of(self, solution: Solution) -> float:
        """Return it in a solution."""
        if self.one and self.two:
            return solution.volts_between(self.one, self.two)
        return sum(sign * solution.current_a(key) for key, sign in self.signs.items())


def _currents(found: Solution, keys: Iterable[Key]) -> _Reading:
    return _Reading(signs={key: -1.0 if found.current_a(key) < 0 else 1.0 for key in keys})


def _band(found: Solution, reading: _Reading) -> Band:
    nominal = reading.of(found)
    low, high = (_corner(found, reading, way) for way in (-1.0, 1.0))
    return Band(min(low, nominal), nominal, max(high, nominal))


def _corner(found: Solution, reading: _Reading, way: float) -> float:
    """Return a reading with every assumed resistance where it raises (1) or lowers it (-1)."""
    at, readings = found, list[float]()
    for _ in range(2):
        ohm = dict(found.state.ohm)
        for key, slope in _slopes(at, reading).items():
            ends = _ends(found, key)
            if ends and key not in found.state.ohm:
                ohm[key] = ends[slope * way > 0]
        at = found.circuit.settled(evolve(found.state, ohm=ohm))
        readings.append(reading.of(at))
    return max(readings) if way > 0 else min(readings)


def _ends(found: Solution, key: Key) -> tuple[float, float] | None:
    """Return between what an assumed resistance may lie, None for one that is stated."""
    element = found.circuit.network.elements[key]
    if element.rated_a:
        across = abs(found.across_v(element))
        low, high = sorted((element.ohm.nominal, across / element.rated_a))
        return (low, high) if across else None
    return (element.ohm.low, element.ohm.high) if element.ohm.assumed else None


def _slopes(found: Solution, reading: _Reading) -> Mapping[Key, float]:
    """Return how a reading changes with each live resistance, in A or V per ohm."""
    placed, into = found.circuit.placed, dict[int, float]()
    for key, sign in reading.signs.items():
        _, one, two = placed[key]
        g = sign * found.live.get(key, 0.0)
        into[one] = into.get(one, 0.0) + g
        into[two] = into.get(two, 0.0) - g
    for node, more in ((reading.one, 1.0), (reading.two, -1.0)):
        if node and (number := found.circuit.number(node)) is not None:
            into[number] = into.get(number, 0.0) + more
    volts = found.mesh.volts(into)
    slopes: dict[Key, float] = {}
    for key, g in found.live.items():
        _, first, second = placed[key]
        unit = g * (volts[first] - volts[second] - reading.signs.get(key, 0.0))
        slopes[key] = unit * found.current_a(key)
    return slopes
