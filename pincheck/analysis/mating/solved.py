"""An assembly with its circuit solved in the states that harm is told from."""

from functools import cached_property

from attrs import evolve, field

from pincheck.analysis import roles
from pincheck.chips import canonical
from pincheck.circuit import AT_REST, Circuit, Element, Network, Solution, State, build
from pincheck.circuit.network import Key
from pincheck.circuit.states import all_loads, running
from pincheck.model.claim import Place
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace
from pincheck.model.wiring import Assembly
from pincheck.wiring import trace
from pincheck.wiring.copper import Copper, NetKey


@frozen(slots=False, eq=False)
class Solved:
    """An assembly, its copper and its circuit, each worked out when it is first asked for.

    `right` is the same with its plugs as they should be, `known` the network where it is at hand.
    """

    assembly: Assembly
    right: "Solved | None" = None
    known: Network | None = field(default=None)

    @cached_property
    def network(self) -> Network:
        """The network."""
        return self.known or build(self.assembly)

    @cached_property
    def copper(self) -> Copper:
        """The nets."""
        return Copper(self.assembly, canonical)

    @cached_property
    def trace(self) -> Trace:
        """The roles."""
        return trace(self.assembly, canonical)

    @cached_property
    def states(self) -> tuple[Solution, Solution, Solution]:
        """At rest, with all loads on and all contacts pressed, and with the motors turning too.

        A supply that is shorted gives what it can, and its volts sink.

        Raises:
            UnsolvedError: the diodes settle in no state.
        """
        circuit = Circuit(self.network)
        acts = (self.right or self).acts
        on = all_loads(self.network), running(self.network)
        states = (AT_REST, *(evolve(state, closed=state.closed | acts) for state in on))
        rest, loads, motors = (self._limited(circuit, state) for state in states)
        return rest, loads, motors

    @cached_property
    def acts(self) -> frozenset[Key]:
        """What is closed beside the switches of loads: contacts, outputs of parts and of pins."""
        return frozenset(it.key for it in self.network.of_kind("part", "output") if self._acts(it))

    def _acts(self, element: Element) -> bool:
        """Whether it is a contact, the output of a part, or a pin that drives one by itself."""
        if element.key[0] != "output":
            return True
        key = str(element.key[1]), str(element.key[2])
        place = self.copper.place(key[0], self.copper.net(key).chip_pin)
        return any(roles.function(wired.role) == "servo" for wired in self.trace.at(place))

    def _limited(self, circuit: Circuit, state: State) -> Solution:
        ideal = circuit.solve(state)
        ohm = {
            source.key: abs(source.emf_v) * (1 / limit - 1 / given)
            for source in self.network.of_kind("supply", "converter")
            if (limit := self.limit_a(source)) and (given := self.given_a(ideal, source)) > limit
        }
        return circuit.settled(evolve(state, ohm={**state.ohm, **ohm})) if ohm else ideal

    def given_a(self, found: Solution, source: Element) -> float:
        """Return what a supply or converter gives, without what converters draw from it."""
        draws = self.network.of_kind("draws") if source.kind == "supply" else ()
        drawn = sum(found.current_a(it.key) for it in draws if it.one == source.two)
        return found.current_a(source.key) - drawn

    def limit_a(self, source: Element) -> float | None:
        """Return the most that a supply or converter gives, None where nobody says."""
        board = self.assembly.boards[str(source.key[1])]
        net = board.nets.get(str(source.key[2]))
        whole = board.supply_max_a if source.kind == "supply" else None
        return min((a for a in (net and net.max_a, whole) if a), default=None)

    def highest_a(self, element: Element) -> float:
        """Return the highest current of an element, either way, 0 where it is not there."""
        known = element.key in self.network.elements
        return max(abs(it.current_a(element.key)) for it in self.states) if known else 0.0

    @cached_property
    def joins(self) -> frozenset[tuple[object, ...]]:
        """What every cable and part joins: two matings that join the same are one."""
        at_pin = self.copper.at_pin
        cables = (
            (number, at_pin(cable.from_, a), at_pin(cable.to, b))
            for number, cable in enumerate(self.assembly.cables)
            for a, b in cable.pairs
        )
        fits = (
            (fit.name, terminal, self.copper.at_terminal(fit, terminal))
            for fit in self.assembly.fits
            for terminal in range(len(fit.part.terminals))
        )
        both = (*cables, *fits)
        return frozenset(it for it in both if None not in it)


def net_of(element: Element) -> NetKey:
    """Return the net that an element's key names."""
    return str(element.key[1]), str(element.key[2])


def place_words(copper: Copper, place: Place) -> str:
    """Return a chip pin in words."""
    return f"{place.pin} of {copper.label(place.board)}"
