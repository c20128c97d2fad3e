"""The voltages of a network in one state, and what they say."""

import heapq
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

from attrs import evolve, field

from pincheck.circuit.network import Band, Carrier, Element, Key, Network, Node
from pincheck.model.frozen import frozen

_LEAST_OHM = 1e-6
"""What no resistance is taken to be below, so that a joint of none has a current."""

_ROUNDS = 60
"""Solutions in search of what each diode and converter does: boards settle within five."""

_SLACK = 1e-9
"""Amperes or volts that a diode's state is not changed for."""

EFFICIENCY = (0.75, 0.9, 1.0)
"""Of a converter on a board: lowest, likely and highest (`common practice`)."""


class UnsolvedError(Exception):
    """The diodes and converters of a network come to no state that agrees with itself."""


@frozen
class State:
    """What a machine does: closed switches and outputs, opened elements, other resistances.

    `ohm` gives elements another resistance than their own, such as a hot sensor's.
    """

    name: str = "at rest"
    closed: frozenset[Key] = frozenset()
    opened: frozenset[Key] = frozenset()
    ohm: Mapping[Key, float] = field(factory=dict)

    def __hash__(self) -> int:
        return hash((self.closed, self.opened, frozenset(self.ohm.items())))


AT_REST = State()

_Placed = tuple[Element, int, int]
"""An element and the numbers of its nodes."""

_Step = tuple[int, float, tuple[tuple[int, float], ...]]
"""A node taken out, the sum of its conductances, and each of them with the node at its end."""


class _Mesh:
    """Conductances between nodes, each node taken out in turn by star-mesh transformation.

    The node with the fewest neighbours goes first. Only sums and products of positive numbers
    occur, so nothing cancels, and every voltage is as exact as its sources. What is left over of a
    part that no reference holds, its star if it has one, is counted as 0 V.
    """

    def __init__(self, size: int, stars: frozenset[int]) -> None:
        self.rows: list[dict[int, float]] = [{} for _ in range(size)]
        self.into = [0.0] * size
        """Amperes that sources drive into each node."""
        self.live: dict[Key, float] = {}
        """Conductance of every element that is closed."""
        self.steps: list[_Step] = []
        self.stars = stars

    def copy(self) -> "_Mesh":
        """Return a mesh that can go on from here while this one stays."""
        other = _Mesh(0, self.stars)
        other.rows = [row.copy() for row in self.rows]
        other.into, other.live, other.steps = self.into.copy(), self.live.copy(), self.steps.copy()
        return other

    def add(self, element: Element, one: int, two: int, ohm: float) -> None:
        """Put an element between two nodes that are still there."""
        if one == two:
            return
        g = 1.0 / max(ohm, _LEAST_OHM)
        rows = self.rows
        rows[one][two] = rows[two][one] = rows[one].get(two, 0.0) + g
        if element.emf_v:
            self.into[one] -= g * element.emf_v
            self.into[two] += g * element.emf_v
        self.live[element.key] = g

    def take_out(self, nodes: Iterable[int]) -> None:
        """Take out these nodes, those with a star after all others."""
        rows, steps = self.rows, self.steps
        late = {star: len(rows) for star in self.stars}
        waiting = [(len(rows[node]) + late.get(node, 0), node) for node in nodes]
        going = {node for _, node in waiting}
        heapq.heapify(waiting)
        while waiting:
            rank, node = heapq.heappop(waiting)
            row = rows[node]
            if node not in going or rank != len(row) + late.get(node, 0):
                continue  # an older entry of it
            going.remove(node)
            total = sum(row.values())
            ends = tuple(row.items())
            rows[node] = {}
            for end, _ in ends:
                del rows[end][node]
            for number, (one, g_one) in enumerate(ends):
                for two, g_two in ends[number + 1 :]:
                    meshed = rows[one].get(two, 0.0) + g_one * g_two / total
                    rows[one][two] = rows[two][one] = meshed
            for end, g in ends:
                self.into[end] += self.into[node] * g / total
                if end in going:
                    heapq.heappush(waiting, (len(rows[end]) + late.get(end, 0), end))
            steps.append((node, total, ends))

    def volts(self, amperes: Mapping[int, float] | None = None) -> list[float]:
        """Return the voltage of each node: of the sources, or of these currents instead."""
        into = self.into
        if amperes is not None:
            into = [0.0] * len(self.rows)
            for node, current in amperes.items():
                into[node] += current
            for node, total, ends in self.steps:
                if into[node]:
                    for end, g in ends:
                        into[end] += into[node] * g / total
        volts = [0.0] * len(into)
        for node, total, ends in reversed(self.steps):
            if ends:
                current = into[node]
                for end, g in ends:
                    current += g * volts[end]
                volts[node] = current / total
        return volts


class Circuit:
    """A network, solved for any state; what was solved once is kept."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._number = {node: number for number, node in enumerate(network.nodes)}
        number = self._number
        self._stars = frozenset(number[star] for star in network.stars)
        self._kept: dict[State, Solution] = {}
        self._diodes = tuple(network.of_kind("diode"))
        self._converters = [
            (converter, network.elements["draws", *converter.key[1:]])
            for converter in network.of_kind("converter")
        ]
        self.placed = {
            key: (element, number[element.one], number[element.two])
            for key, element in network.elements.items()
        }
        fixed = {
            key: it
            for key, it in self.placed.items()
            if it[0].closed and it[0].kind not in ("diode", "converter", "draws")
        }
        self._varied = {key: it for key, it in self.placed.items() if key not in fixed}
        ends = {end for _, one, two in self._varied.values() for end in (one, two)}
        self._left = frozenset((0, *self._stars, *ends))
        # What no state changes is taken out once for all of them.
        self._fixed = self._mesh(fixed)
        self._fixed.take_out(set(range(len(number))) - self._left)

    def _mesh(self, placed: Mapping[Key, _Placed], ohm: Mapping[Key, float] = {}) -> _Mesh:
        mesh = _Mesh(len(self._number), self._stars)
        for key, (element, one, two) in placed.items():
            mesh.add(element, one, two, ohm.get(key, element.ohm.nominal))
        return mesh

    def solve(self, state: State = AT_REST) -> "Solution":
        """Return the solution of a state.

        Raises:
            UnsolvedError: the diodes and converters settle in no state.
        """
        if state not in self._kept:
            self._kept[state] = self.settled(state)
        return self._kept[state]

    def settled(self, state: State) -> "Solution":
        """Return the solution of a state as `solve`, and do not keep it."""
        # Diodes begin as open, converters as running and drawing nothing.
        on: set[Key] = set()
        drawn: dict[Key, float] = {}
        off: set[Key] = set()
        fixed, left = self._fixed, self._left
        if any(key not in self._varied for key in (*state.opened, *state.ohm)):
            kept = self.placed.keys() - self._varied.keys() - state.opened
            fixed = self._mesh({key: self.placed[key] for key in kept}, state.ohm)
            fixed.take_out(set(range(len(self._number))) - left)
        for round_ in range(_ROUNDS):
            mesh = fixed.copy()
            for key, (element, one, two) in self._varied.items():
                if element.kind == "diode":
                    closed = key in on
                elif element.kind == "draws":
                    closed = key in drawn
                else:
                    closed = element.closed or key in state.closed
                if closed and key not in state.opened and key not in off:
                    ohm = drawn.get(key) or state.ohm.get(key, element.ohm.nominal)
                    mesh.add(element, one, two, ohm)
            mesh.take_out(left - {0})
            found = Solution(self, state, mesh)
            turned = list(self._wrong(found, on, state))
            if turned:
                # All at once, as a rule; what swings back and forth is then taken one by one.
                on ^= set(turned if round_ < _ROUNDS // 3 else turned[:1])
            elif not self._converted(found, off, drawn):
                return found
        raise UnsolvedError(f"{state.name}: diodes or converters settle in no state")

    def _wrong(self, found: "Solution", on: set[Key], state: State) -> Iterator[Key]:
        """Yield the diodes that conduct backwards or block what they let through, worst first."""
        wrong: list[tuple[float, Key]] = []
        for diode in self._diodes:
            if diode.key in state.opened:
                continue
            if diode.key in on:
                if (current := found.current_a(diode.key)) < -_SLACK:
                    wrong.append((current, diode.key))
            elif (over := found.across_v(diode) + diode.emf_v) > _SLACK:
                wrong.append((-over, diode.key))
        yield from (key for _, key in sorted(wrong, key=lambda it: it[0]))

    def _converted(self, found: "Solution", off: set[Key], drawn: dict[Key, float]) -> bool:
        """Let each converter draw what it gives, and stop without an input; tell if it changed."""
        changed = False
        for converter, draws in self._converters:
            if converter.key in off:
                continue
            input_v = found.across_v(draws)
            if input_v < converter.emf_v:
                off |= {converter.key, draws.key}
                changed = True
                continue
            power_w = converter.emf_v * max(found.current_a(converter.key), 0.0)
            ohm = EFFICIENCY[1] * input_v**2 / power_w if power_w > _SLACK else None
            before = drawn.get(draws.key)
            if ohm and (before is None or abs(ohm - before) > 0.01 * before):
                drawn[draws.key] = ohm
                changed = True
        return changed

    def number(self, node: Node) -> int | None:
        """Return the place of a node in a solution's lists, None for one that is not there."""
        return self._number.get(node)


class Solution:
    """One solved state. Voltages are those over the first star, 0 for what floats."""

    def __init__(
        self,
        circuit: Circuit,
        state: State,
        mesh: _Mesh,
        live: Mapping[Key, float] | None = None,
        volts: list[float] | None = None,
    ) -> None:
        self.circuit = circuit
        self.state = state
        self._mesh = mesh
        self._live = mesh.live if live is None else live
        self._volts = mesh.volts() if volts is None else volts

    @cached_property
    def floating(self) -> frozenset[Node]:
        """Every node that nothing holds: no way from it, closed in this state, to any star."""
        held = {self._parts[star] for star in self.circuit.network.stars}
        return frozenset(node for node, part in self._parts.items() if part not in held)

    def volts(self, node: Node) -> float | None:
        """Return the voltage of a node over the first star, None where it floats."""
        number = self.circuit.number(node)
        return None if number is None or node in self.floating else self._volts[number]

    def across_v(self, element: Element) -> float:
        """Return the voltage from an element's first node to its second."""
        _, one, two = self.circuit.placed[element.key]
        return self._volts[one] - self._volts[two]

    def current_a(self, key: Key) -> float:
        """Return the current of an element from its first node to its second, 0 while open."""
        g = self._live.get(key)
        if g is None:
            return 0.0
        element = self.circuit.network.elements[key]
        return g * (self.across_v(element) + element.emf_v)

    def through_a(self, carrier: Carrier) -> float:
        """Return the highest current that passes a contact, wire, track or fuse anywhere."""
        keys = self.circuit.network.carriers[carrier]
        return max(abs(self.current_a(key)) for key in keys)

    def between_ohm(self, one: Node, two: Node) -> float | None:
        """Return the resistance between two nodes with every source at rest, None where none."""
        first, second = self.circuit.number(one), self.circuit.number(two)
        if first is None or second is None or self._parts[one] != self._parts[two]:
            return None
        volts = self._mesh.volts({first: 1.0, second: -1.0})
        return volts[first] - volts[second]

    @cached_property
    def _parts(self) -> Mapping[Node, Node]:
        """Every node with one that stands for all that it is joined to in this state."""
        parent = {node: node for node in self.circuit.network.nodes}

        def top(node: Node) -> Node:
            while parent[node] != node:
                parent[node] = parent[parent[node]]
                node = parent[node]
            return node

        for key in self._live:
            element = self.circuit.network.elements[key]
            parent[top(element.one)] = top(element.two)
        return {node: top(node) for node in parent}

    def without(self, key: Key) -> "Solution":
        """Return what is left when one element opens and no diode or converter changes for it.

        One solution of what is known already (Sherman and Morrison's formula); `slopes` and
        `between_ohm` of what it returns are those before.
        """
        g = self._live.get(key)
        if g is None:
            return self
        _, one, two = self.circuit.placed[key]
        unit = self._mesh.volts({one: 1.0, two: -1.0})
        left = 1.0 - g * (unit[one] - unit[two])
        # The only way to something carries nothing, so nothing changes elsewhere without it.
        share = self.current_a(key) / left if left > _SLACK else 0.0
        volts = [before + share * more for before, more in zip(self._volts, unit, strict=True)]
        live = {other: value for other, value in self._live.items() if other != key}
        state = evolve(self.state, opened=self.state.opened | {key})
        return Solution(self.circuit, state, self._mesh, live, volts)

    def current_band(self, *keys: Key) -> Band:
        """Return the current of elements side by side in A, its ends over what is only assumed.

        How a current changes with a resistance follows from one more solution with a source in
        the elements alone (reciprocity; Tellegen's theorem); a current is monotonic in each single
        resistance, so its ends are found at corners of the assumptions.
        """
        signs = {key: -1.0 if self.current_a(key) < 0 else 1.0 for key in keys}
        nominal = sum(abs(self.current_a(key)) for key in keys)
        low, high = (self._corner(signs, way) for way in (-1.0, 1.0))
        return Band(min(low, nominal), nominal, max(high, nominal))

    def spread_a(self, *keys: Key) -> float:
        """Return how far the current of elements side by side may be off for what is assumed.

        By its slopes alone, which is right as far as the assumptions are small: see
        `current_band` for the ends themselves.
        """
        signs = {key: -1.0 if self.current_a(key) < 0 else 1.0 for key in keys}
        spread = 0.0
        for other, slope in self.slopes(signs).items():
            if slope and (ends := self._ends(other)):
                nominal = self.circuit.network.elements[other].ohm.nominal
                spread += abs(slope) * max(ends[1] - nominal, nominal - ends[0])
        return spread

    def _corner(self, signs: Mapping[Key, float], way: float) -> float:
        """Return the current with every assumed resistance where it raises (1) or lowers it."""
        at, found = self, list[float]()
        for _ in range(2):
            ohm = dict(self.state.ohm)
            for other, slope in at.slopes(signs).items():
                ends = self._ends(other)
                if ends and other not in self.state.ohm:
                    ohm[other] = ends[slope * way > 0]
            at = self.circuit.settled(evolve(self.state, ohm=ohm))
            found.append(sum(sign * at.current_a(key) for key, sign in signs.items()))
        return max(found) if way > 0 else min(found)

    def _ends(self, key: Key) -> tuple[float, float] | None:
        """Return between what an assumed resistance may lie, None for one that is stated."""
        element = self.circuit.network.elements[key]
        if element.rated_a:
            across = abs(self.across_v(element))
            low, high = sorted((element.ohm.nominal, across / element.rated_a))
            return (low, high) if across else None
        return (element.ohm.low, element.ohm.high) if element.ohm.assumed else None

    def slopes(self, signs: Mapping[Key, float]) -> Mapping[Key, float]:
        """Return how the sum of elements' currents, each with its sign, changes with each live
        resistance, in A per ohm."""
        placed, into = self.circuit.placed, dict[int, float]()
        for key, sign in signs.items():
            _, one, two = placed[key]
            g = sign * self._live.get(key, 0.0)
            into[one] = into.get(one, 0.0) - g
            into[two] = into.get(two, 0.0) + g
        volts = self._mesh.volts(into)
        found: dict[Key, float] = {}
        for other, g in self._live.items():
            _, first, second = placed[other]
            unit = g * (volts[first] - volts[second] + signs.get(other, 0.0))
            found[other] = -unit * self.current_a(other)
        return found
