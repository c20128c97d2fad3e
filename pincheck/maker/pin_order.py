"""An order of a plug's pins whose worst wrong mating does as little as possible.

What two wires do that end on any two pins, and nothing else of the plug, is solved as a circuit;
a wrong mating costs the sum over its wires two by two, an order as much as its worst mating. The
best orders found, and today's, are then solved in full. No rule of the trade goes in.
"""

import random
from collections.abc import Iterator, Sequence
from itertools import permutations

from attrs import evolve

from pincheck.analysis.mating.survey import Survey, survey
from pincheck.maker.pin_cost import CannotOrderError, PlugWires, weight
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly, Cable
from pincheck.wiring.copper import Copper
from pincheck.wiring.plugs import Cell, ConnectorKey, cells, placements

_EXACT_PINS = 8
"""All orders of 8 pins are 40,320; of 9 nine times as many."""

_SEED = 1

_SOLVED = 6
"""Of the best orders, those that are solved in full."""

Score = tuple[int, int, int]
"""How much more is torn apart than today, what the worst mating costs, what all of them cost."""

_Order = tuple[int, ...]


@frozen
class PinOrder:
    """Today's order of a plug's pins and the best one, as nets from pin 1 on.

    `costs` are what the worst mating and all of them cost, solved, today and then; `orders` counts
    what was compared, all that there is where it is `exact`.
    """

    connector: ConnectorKey
    pins: tuple[str, ...]
    better: tuple[str, ...]
    costs: tuple[tuple[int, int], tuple[int, int]]
    orders: int
    exact: bool
    today: Survey
    proposed: Survey


def pin_order(assembly: Assembly, key: ConnectorKey) -> PinOrder:
    """Return the order of one plug's pins that is best by what wrong matings do.

    Raises:
        CannotOrderError: nothing is in the connector, its cable is not straight, or its wires are
            too many.
        UnsolvedError: the circuit of the right mating settles in no state.
    """
    board, name = key
    connector = assembly.boards[board].connectors[name]
    for cable in assembly.cables:
        if key in (cable.from_, cable.to) and not _straight(assembly, cable):
            raise CannotOrderError(f"the cable at {'.'.join(key)} is not straight")
    used = {end for cable in assembly.cables for end in (cable.from_, cable.to)}
    if key not in used | {fit.connector for fit in assembly.fits}:
        raise CannotOrderError(f"nothing is in {'.'.join(key)}")
    search = _Search(assembly, key)
    exact = len(connector.pins) <= _EXACT_PINS
    orders, compared = search.every() if exact else search.climbed()
    start = tuple(range(len(connector.pins)))
    solved = {
        it: _solved(reordered(assembly, key, it), key) for it in dict.fromkeys((start, *orders))
    }
    best = min(solved, key=lambda it: _cost(solved[it]))
    pins = tuple(connector.pins[at] for at in best)
    costs = _cost(solved[start]), _cost(solved[best])
    return PinOrder(key, connector.pins, pins, costs, compared, exact, solved[start], solved[best])


def _solved(assembly: Assembly, key: ConnectorKey) -> Survey:
    return survey(assembly, lambda it: it.connector == key and it.kind != "swapped")


def _cost(found: Survey) -> tuple[int, int]:
    costs = [weight(it.harms) for it in found.found]
    return max(costs, default=0), sum(costs)


def reordered(assembly: Assembly, key: ConnectorKey, order: Sequence[int]) -> Assembly:
    """Return the assembly with the pins of a plug in another order, at both ends of a cable.

    `order` gives for each pin, from 0, the one of today that comes there.
    """
    ends = {key}
    for cable in assembly.cables:
        if key in (cable.from_, cable.to):
            ends |= {cable.from_, cable.to}
    boards = dict(assembly.boards)
    for board, name in ends:
        it = boards[board].connectors[name]
        pins = tuple(it.pins[at] for at in order)
        plugged = tuple(n for n, at in enumerate(order, 1) if at + 1 in it.plugged)
        connectors = {**boards[board].connectors, name: evolve(it, pins=pins, plugged=plugged)}
        boards[board] = evolve(boards[board], connectors=connectors)
    now_at = {at + 1: n for n, at in enumerate(order, 1)}
    cables = (
        evolve(it, pairs=tuple((now_at[a], now_at[b]) for a, b in it.pairs))
        if key in (it.from_, it.to)
        else it
        for it in assembly.cables
    )
    fits = (
        evolve(it, pins=tuple(now_at.get(pin, pin) for pin in it.pins))
        if it.connector in ends
        else it
        for it in assembly.fits
    )
    return evolve(assembly, boards=boards, cables=tuple(cables), fits=tuple(fits))


def _straight(assembly: Assembly, cable: Cable) -> bool:
    one, two = (assembly.boards[board].connectors[name] for board, name in (cable.from_, cable.to))
    return cells(one) == cells(two) and all(a == b for a, b in cable.pairs)


class _Search:
    """The orders of one plug's pins, held against what two wires on two pins cost."""

    def __init__(self, assembly: Assembly, key: ConnectorKey) -> None:
        connector = assembly.boards[key[0]].connectors[key[1]]
        self.at = cells(connector)
        self.count = len(connector.pins)
        self.wrongly = [[pin - 1 for pin in it.meets] for it in placements(connector)]
        wires = PlugWires(assembly, key)
        self.kinds = wires.kinds
        self.tables = wires.tables()
        self.together = tuple(_together(assembly, key))
        self.torn = self._torn(tuple(range(self.count)))

    def score(self, order: Sequence[int]) -> Score:
        place = [0] * self.count
        for new, old in enumerate(order):
            place[old] = new
        costs = []
        for meets in self.wrongly:
            # The pin of today that each wire of today ends on, -1 where on none.
            ends = [order[meets[at]] if meets[at] >= 0 else -1 for at in place]
            costs.append(sum(
                table[ends[one]][ends[two]]
                for one, two, table in self.tables
                if ends[one] >= 0 and ends[two] >= 0
            ))  # fmt: skip
        torn = max(0, self._torn(order) - self.torn)
        return torn, max(costs, default=0), sum(costs)

    def _torn(self, order: Sequence[int]) -> int:
        """Return how many of what belongs together are not side by side."""
        where = {old: self.at[new] for new, old in enumerate(order)}
        return sum(
            not any(_beside(where[a], where[b]) for a in one for b in two)
            for one, two in self.together
        )

    def every(self) -> tuple[list[_Order], int]:
        """Return the best of all orders, best first, and how many there are."""
        seen: set[tuple[object, ...]] = set()
        scored: list[tuple[Score, _Order]] = []
        for order in permutations(range(self.count)):
            alike = tuple(self.kinds[at] for at in order)
            if alike not in seen:
                seen.add(alike)
                scored.append((self.score(order), order))
        return [order for _, order in sorted(scored)[:_SOLVED]], len(seen)

    def climbed(self) -> tuple[list[_Order], int]:
        """Return the best orders met by exchanging pins, from today's and from shaken ones."""
        draw = random.Random(_SEED)
        start = list(range(self.count))
        peaks: dict[_Order, Score] = {}
        tried = 0
        while tried < limits.PIN_ORDERS:
            order, here, better = start, self.score(start), True
            while better and tried < limits.PIN_ORDERS:
                better = False
                for a, b in self._pairs(order):
                    order[a], order[b] = order[b], order[a]
                    tried += 1
                    if (found := self.score(order)) < here:
                        here, better = found, True
                    else:
                        order[a], order[b] = order[b], order[a]
            peaks[tuple(order)] = here
            # On from the best one, a few pins shaken.
            start = [*min(peaks, key=peaks.__getitem__)]
            for _ in range(draw.randint(2, self.count // 2)):
                a, b = draw.randrange(self.count), draw.randrange(self.count)
                start[a], start[b] = start[b], start[a]
        return sorted(peaks, key=peaks.__getitem__)[:_SOLVED], tried

    def _pairs(self, order: Sequence[int]) -> Iterator[tuple[int, int]]:
        for a in range(self.count):
            for b in range(a + 1, self.count):
                if self.kinds[order[a]] != self.kinds[order[b]]:
                    yield a, b


def _beside(one: Cell, two: Cell) -> bool:
    return abs(one[0] - two[0]) + abs(one[1] - two[1]) == 1


def _together(
    assembly: Assembly, key: ConnectorKey
) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Yield the pins, from 0, that belong side by side: shares of a current, both ends of a
    motor's coil, a sensor's two wires."""
    copper = Copper(assembly)
    pins: dict[object, list[int]] = {}
    for at, net in enumerate(assembly.boards[key[0]].connectors[key[1]].pins):
        if net:
            pins.setdefault(copper.node((key[0], net)), []).append(at)
    for shares in pins.values():
        for at in shares if len(shares) > 1 else ():
            yield (at,), tuple(other for other in shares if other != at)
    for fit in assembly.fits:
        if fit.part.kind not in ("motor", "sensor"):
            continue
        keys = [copper.at_terminal(fit, n) for n in range(len(fit.part.terminals))]
        nodes = [copper.node(it) if it else () for it in keys]
        for one, two in zip(nodes[::2], nodes[1::2], strict=False):
            if one in pins and two in pins and one != two:
                yield tuple(pins[one]), tuple(pins[two])
