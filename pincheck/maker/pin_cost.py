"""What two wires of a plug cost on any two pins, solved with nothing else of the plug connected."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from attrs import evolve

from pincheck.analysis.mating.comparison import Comparison
from pincheck.analysis.mating.copper_harm import copper_harms
from pincheck.analysis.mating.harm import Harm, HarmKind
from pincheck.analysis.mating.part_harm import part_harms
from pincheck.analysis.mating.solved import Solved
from pincheck.circuit import Element, Node, UnsolvedError
from pincheck.circuit.network import Key
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly, Net
from pincheck.wiring.plugs import ConnectorKey, Mating

WEIGHTS: dict[HarmKind, int] = {
    "burns": 1000, "heats": 500, "dies": 300, "runs": 20, "strained": 5, "crossed": 1, "dead": 1,
}  # fmt: skip
"""What each kind counts: no number of things that work again outweighs one that is destroyed."""

_Table = Sequence[Sequence[int]]


def weight(harms: Iterable[Harm]) -> int:
    """Return what harms cost."""
    return sum(WEIGHTS[harm.kind] for harm in harms)


class CannotOrderError(Exception):
    """A plug's pins cannot be put in another order; says why."""


@frozen
class _Wire:
    """One conductor of the plug: what it is a copy of, and the node behind it.

    `number` is that of the cable and `other` the pin at its far end; of a part's lead both are -1.
    """

    element: Element
    behind: Node
    number: int = -1
    other: int = -1


class PlugWires:
    """The wires of one plug by the pin, from 0, that they belong on."""

    def __init__(self, assembly: Assembly, key: ConnectorKey) -> None:
        self.key = key
        self.right = Solved(assembly)
        self.nets = assembly.boards[key[0]].connectors[key[1]].pins
        self.wires = dict(self._wires())
        board = assembly.boards[key[0]]
        self.near = tuple(_alike(board.nets[net]) if net else None for net in self.nets)

    @property
    def kinds(self) -> tuple[object, ...]:
        """What tells each pin with its wire from others."""
        behind = (self.wires.get(at) for at in range(len(self.nets)))
        return tuple(
            (net, wire and wire.behind) for net, wire in zip(self.nets, behind, strict=True)
        )

    def _wires(self) -> Iterator[tuple[int, _Wire]]:
        elements, assembly = self.right.network.elements, self.right.assembly
        for number, cable in enumerate(assembly.cables):
            for side, here in enumerate((cable.from_, cable.to)):
                for pair in cable.pairs if here == self.key else ():
                    element = elements.get(("conductor", number, pair))
                    if element:
                        behind = element.two if side == 0 else element.one
                        yield pair[side] - 1, _Wire(element, behind, number, pair[1 - side])
        for fit in assembly.fits:
            for terminal, pin in enumerate(fit.pins if fit.connector == self.key else ()):
                element = elements.get(("lead", fit.name, terminal))
                if element:
                    yield pin - 1, _Wire(element, element.two)

    def tables(self) -> tuple[tuple[int, int, _Table], ...]:
        """Return for every two wires that have to do with each other what they cost, by the pins,
        from 0, that they end on.

        Raises:
            CannotOrderError: there are too many to solve.
        """
        group = self._groups()
        known: dict[object, int] = {}
        found = []
        behind = {at: wire.behind for at, wire in self.wires.items()}
        near = [
            (one, two)
            for one, two in combinations(self.wires, 2)
            if group[behind[one]] == group[behind[two]]
        ]
        different = {frozenset((behind[one], behind[two])) for one, two in near}
        if len(different) * len(set(self.near)) ** 2 > limits.PIN_COSTS:
            raise CannotOrderError(f"{len(self.wires)} wires are too many to solve two by two")
        for one, two in near:
            ends = range(len(self.nets))
            table = [[self._cost(known, (one, a), (two, b)) for b in ends] for a in ends]
            if any(map(any, table)):
                found.append((one, two, table))
        return tuple(found)

    def _groups(self) -> dict[Node, Node]:
        """Return for the node behind each wire one that stands for all it is joined to there."""
        off = {wire.element.key for wire in self.wires.values()}
        parent: dict[Node, Node] = {}

        def top(node: Node) -> Node:
            while parent.setdefault(node, node) != node:
                node = parent[node]
            return node

        for key, element in self.right.network.elements.items():
            if key not in off:
                parent[top(element.one)] = top(element.two)
        return {wire.behind: top(wire.behind) for wire in self.wires.values()}

    def _cost(self, known: dict[object, int], *ends: tuple[int, int]) -> int:
        (one, a), (two, b) = ends
        if self.near[a] is None or self.near[b] is None or self.near[a] == self.near[b]:
            return 0
        wires = self.wires[one].behind, self.wires[two].behind
        key = frozenset(((wires[0], self.near[a]), (wires[1], self.near[b])))
        if key not in known:
            known[key] = self._solve(ends)
        return known[key]

    def _solve(self, ends: Iterable[tuple[int, int]]) -> int:
        elements = dict(self.right.network.elements)
        for wire in self.wires.values():
            del elements[wire.element.key]
        pairs: dict[int, list[tuple[int, int]]] = {}
        pins: dict[tuple[str, int], int] = {}
        for at, pin in ends:
            wire = self.wires[at]
            pad = Node("pad", self.key[0], self.nets[pin], self.key[1])
            key = self._key(wire, pin)
            one, two = (pad, wire.behind) if wire.element.two == wire.behind else (wire.behind, pad)
            elements[key] = evolve(wire.element, key=key, one=one, two=two)
            if wire.number < 0:
                pins[str(key[1]), int(str(key[2]))] = pin + 1
            else:
                pairs.setdefault(wire.number, []).append(self._pair(wire, pin))
        it = self.right.assembly
        cables = (
            evolve(cable, pairs=tuple(pairs.get(number, ())))
            if self.key in (cable.from_, cable.to)
            else cable
            for number, cable in enumerate(it.cables)
        )
        fits = (
            evolve(fit, pins=tuple(pins.get((fit.name, n), 0) for n in range(len(fit.pins))))
            if fit.connector == self.key
            else fit
            for fit in it.fits
        )
        wired = evolve(it, cables=tuple(cables), fits=tuple(fits))
        wrong = Solved(wired, self.right, evolve(self.right.network, elements=elements))
        comparison = Comparison(self.right, wrong, Mating(self.key, "shifted", ""))
        worst: dict[str, int] = {}
        try:
            for harm in (*copper_harms(comparison), *part_harms(comparison)):
                if harm.kind != "dead":  # all that is not connected is
                    cost = WEIGHTS[harm.kind]
                    worst[harm.about] = max(worst.get(harm.about, 0), cost)
        except UnsolvedError:
            return WEIGHTS["burns"]  # nobody knows that it is harmless
        return sum(worst.values())

    def _key(self, wire: _Wire, pin: int) -> Key:
        if wire.number < 0:
            return wire.element.key
        return ("conductor", wire.number, self._pair(wire, pin))

    def _pair(self, wire: _Wire, pin: int) -> tuple[int, int]:
        first = self.right.assembly.cables[wire.number].from_ == self.key
        return (pin + 1, wire.other) if first else (wire.other, pin + 1)


def _alike(net: Net) -> object:
    """Return a net without what tells it from others that behave the same: its name, and the chip
    pin behind a switch."""
    own = "" if net.switch or net.is_rail else net.chip_pin
    return evolve(net, name="", chip_pin=own, driven_by=bool(net.driven_by) * "-")
