"""The voltages of a network in one state, and what they say."""

from collections.abc import Iterator, Mapping
from functools import cached_property

from attrs import evolve, field

from pincheck.circuit.mesh import Mesh
from pincheck.circuit.network import Carrier, Element, Key, Network, Node
from pincheck.model.frozen import frozen

_ROUNDS = 60
"""Solutions in search of what each diode and converter does: boards settle within five."""

_SLACK = 1e-9
"""Amperes or volts that a diode's state is not changed for."""

_ALONE = 1e-7
"""Of its own resistance: what is less between an element's ends, all else counted, is nothing."""

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

    def _mesh(self, placed: Mapping[Key, _Placed], ohm: Mapping[Key, float] = {}) -> Mesh:
        mesh = Mesh(len(self._number), self._stars)
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
        mesh: Mesh,
        live: Mapping[Key, float] | None = None,
        volts: list[float] | None = None,
    ) -> None:
        self.circuit = circuit
        self.state = state
        self.mesh = mesh
        self.live = mesh.live if live is None else live
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
        g = self.live.get(key)
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
        volts = self.mesh.volts({first: 1.0, second: -1.0})
        return volts[first] - volts[second]

    def shares(self, one: Node, two: Node) -> Mapping[Key, float]:
        """Return the share of a test current between two nodes that passes each live element."""
        first, second = self.circuit.number(one), self.circuit.number(two)
        if first is None or second is None or self._parts[one] != self._parts[two]:
            return {}
        volts = self.mesh.volts({first: 1.0, second: -1.0})
        ends = ((key, g, *self.circuit.placed[key][1:]) for key, g in self.live.items())
        return {key: abs(g * (volts[near] - volts[far])) for key, g, near, far in ends}

    def altered_ohm(self, one: Node, two: Node, key: Key, shorted: bool) -> float | None:
        """Return the resistance between two nodes with one element shorted, or else open.

        By Sherman and Morrison's formula, as `without`. None where nothing is left.
        """
        before, share = self.between_ohm(one, two), self.shares(one, two).get(key)
        if before is None or share is None:
            return before
        element, ohm = self.circuit.network.elements[key], 1.0 / self.live[key]
        around = self.between_ohm(element.one, element.two) or 0.0
        drop = share * ohm
        if shorted:
            return max(before - drop**2 / around, 0.0)
        left = ohm - around
        return before + drop**2 / left if left > _ALONE * ohm else None

    @cached_property
    def _parts(self) -> Mapping[Node, Node]:
        """Every node with one that stands for all that it is joined to in this state."""
        parent = {node: node for node in self.circuit.network.nodes}

        def top(node: Node) -> Node:
            while parent[node] != node:
                parent[node] = parent[parent[node]]
                node = parent[node]
            return node

        for key in self.live:
            element = self.circuit.network.elements[key]
            parent[top(element.one)] = top(element.two)
        return {node: top(node) for node in parent}

    def without(self, key: Key) -> "Solution":
        """Return what is left when one element opens and no diode or converter changes for it.

        One solution of what is known already (Sherman and Morrison's formula); `slopes` and
        `between_ohm` of what it returns are those before.
        """
        g = self.live.get(key)
        if g is None:
            return self
        _, one, two = self.circuit.placed[key]
        unit = self.mesh.volts({one: 1.0, two: -1.0})
        left = 1.0 - g * (unit[one] - unit[two])
        # The only way to something carries nothing, so nothing changes elsewhere without it.
        share = self.current_a(key) / left if left > _SLACK else 0.0
        volts = [before + share * more for before, more in zip(self._volts, unit, strict=True)]
        live = {other: value for other, value in self.live.items() if other != key}
        state = evolve(self.state, opened=self.state.opened | {key})
        return Solution(self.circuit, state, self.mesh, live, volts)

    def volts_between(self, one: Node, two: Node) -> float:
        """Return the voltage from one node to another, 0 V for what floats."""
        first, second = self.circuit.number(one), self.circuit.number(two)
        assert first is not None
        assert second is not None
        return self._volts[first] - self._volts[second]
