"""What a meter shows on a machine that is right, and on one with an open wire, a short or no part.

All from the circuit. With the power off the lowest reading has every resistance at its lowest, the
highest all at their highest (Rayleigh's law of monotonicity); with power on the ends are those of
the currents, and of the volts of each supply.
"""

import math
from collections.abc import Collection
from functools import cached_property
from typing import Literal

from attrs import evolve, field

from pincheck.analysis.without_power import Ends, in_room, plug_node, unpowered
from pincheck.circuit import Circuit, Element, Node, State, UnsolvedError, circuit
from pincheck.circuit.bands import by_sources, volts_band
from pincheck.circuit.network import exactly
from pincheck.circuit.places import Places
from pincheck.circuit.states import loads
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly
from pincheck.wiring.copper import Copper, NetKey

Pin = tuple[str, str, int]
"""(board key, connector, pin from 1)."""

LEADS_OHM = 0.5
"""What meter leads and contacts add at most (`common practice`)."""

OPEN_OHM = 1e6
"""From here on two points count as not connected (`common practice`)."""

SUPPLY_PCT, REGULATOR_PCT = 5.0, 4.0
"""How far a healthy supply may be from its volts, and a regulator on a board: 2 % of its own and
the resistors that set it (`common practice`)."""

_SHOWN_OHM = 1e7
"""From here on a meter shows an open circuit (`common practice`)."""

_DIGITS = 6
"""Of a reading in V: no meter of a workshop shows more."""

_SHARE = 0.01
"""Of the test current, or of a voltage: who has less of it is not on the way."""

_SHORT_A = 20.0
"""A supply that gives as much switches off or blows a fuse: nothing is read then."""

_LEAST_A = 1e-5
"""What flows less holds nothing: no sensor's pull-up gives as little."""

FaultKind = Literal["open", "short", "missing"]


@frozen
class Reading:
    """Between what a meter shows on a machine that is right, in ohm or V; infinite is open."""

    unit: Literal["ohm", "V"]
    low: float
    nominal: float
    high: float

    def overlaps(self, other: "Reading") -> bool:
        """Whether one figure may be either."""
        return self.low <= other.high and other.low <= self.high


@frozen
class Misreading:
    """What the meter shows with one thing wrong; `hidden` where that may as well be right."""

    kind: FaultKind
    what: str
    reading: Reading
    hidden: bool


@frozen(slots=False)
class Meter:
    """A meter on an assembly that has stood in a room of `room_c`.

    Nothing is known (None, or no faults) of a machine whose circuit is too large or settles in no
    state.
    """

    assembly: Assembly
    room_c: float
    _kept: dict[object, Ends] = field(factory=dict, init=False, eq=False)

    def ohm(
        self, one: Pin, two: Pin, pulled: Collection[tuple[str, str]] = (), *, pressed: bool = False
    ) -> Reading | None:
        """Return the resistance between two pins with the power off.

        `pulled` are plugs off their boards, as (board key, connector): of these the pins are those
        of the plug, with the wires behind it. `pressed` are switches: all of them, or none.
        """
        if self._too_large:
            return None
        ends = self._node(one, pulled), self._node(two, pulled)
        return _ohms(*(it.between_ohm(*ends) for it in self._unpowered(pulled, pressed)))

    def ohm_faults(
        self, one: Pin, two: Pin, pulled: Collection[tuple[str, str]] = (), *, pressed: bool = False
    ) -> tuple[Misreading, ...]:
        """Return what `ohm` shows with a wire on the way open, or a part on it missing or shorted.

        Where no part is on the way, the two pins themselves are shorted.
        """
        right = self.ohm(one, two, pulled, pressed=pressed)
        if right is None:
            return ()
        ends = self._node(one, pulled), self._node(two, pulled)
        solutions = self._unpowered(pulled, pressed)
        found = []
        for key, share in solutions[1].shares(*ends).items():
            element = solutions[1].circuit.network.elements[key]
            if share < _SHARE or key[0] not in ("conductor", "lead", "part"):
                continue
            ways: tuple[FaultKind, ...] = ("short", "missing") if key[0] == "part" else ("open",)
            for way in ways if element.ohm.nominal < _SHOWN_OHM else ():
                shown = _ohms(*(it.altered_ohm(*ends, key, way == "short") for it in solutions))
                found.append(Misreading(way, _named(element), shown, right.overlaps(shown)))
        if not any(it.kind == "short" for it in found):
            shown = Reading("ohm", 0.0, 0.0, LEADS_OHM)
            found.append(Misreading("short", "between the two pins", shown, right.overlaps(shown)))
        return tuple(found)

    def volts(
        self, one: Pin, two: Pin | None = None, on: Collection[NetKey] = ()
    ) -> Reading | None:
        """Return the voltage from pin `two`, the board's ground where not given, to pin `one`.

        `on` are the nets (`Wired.switched_net`) of the loads that are switched on. What nothing
        holds reads as 0 V.
        """
        return self._shown(self._state(on), *self._across(one, two))

    def volts_faults(
        self, one: Pin, two: Pin | None = None, on: Collection[NetKey] = ()
    ) -> tuple[Misreading, ...]:
        """Return what `volts` shows with each wire open, and each part missing or shorted.

        Of wires and parts that are not plugged in at the pins only those are told that change the
        reading; of shorts those that no supply switches off for.
        """
        ends, state = self._across(one, two), self._state(on)
        right = self._shown(state, *ends)
        if right is None:
            return ()
        found, wrong = self._powered.solve(state), list[Misreading]()

        def add(kind: FaultKind, it: Element, what: State) -> None:
            if shown := self._shown(what, *ends):
                wrong.append(Misreading(kind, _named(it), shown, right.overlaps(shown)))

        network = self._powered.network
        beside = {it.key[1] for it in network.of_kind("lead") if {it.one, it.two} & {*ends}}
        for it in network.of_kind("conductor", "lead", "part"):
            its_own = it.kind != "conductor" and it.key[1] in beside
            less = found.without(it.key) if abs(found.current_a(it.key)) > _LEAST_A else found
            held = less.floating.isdisjoint(ends)
            volts = less.volts_between(*ends) if held else 0.0
            if its_own or abs(volts - right.nominal) > _SHARE * max(abs(right.nominal), abs(volts)):
                kind: FaultKind = "missing" if it.kind == "part" else "open"
                add(kind, it, evolve(state, opened=state.opened | {it.key}))
            if its_own and it.kind == "part" and found.across_v(it):
                add("short", it, evolve(state, ohm={it.key: 0.0}))
        return tuple(wrong)

    def _shown(self, state: State, one: Node, two: Node) -> Reading | None:
        if self._too_large:
            return None
        try:
            found = self._powered.solve(state)
            band = volts_band(found, one, two) or exactly(0.0)
        except UnsolvedError:
            return None
        sources = self._powered.network.of_kind("supply", "converter")
        if any(abs(found.current_a(it.key)) > _SHORT_A for it in sources) and state.ohm:
            return None
        pct = {"supply": SUPPLY_PCT, "converter": REGULATOR_PCT}
        by = by_sources(found, one, two).items()
        off = sum(abs(volts) * pct.get(str(key[0]), 0.0) / 100 for key, volts in by)
        ends = (band.low - off, band.nominal, band.high + off)
        low, nominal, high = (round(volts, _DIGITS) + 0.0 for volts in ends)
        return Reading("V", low, nominal, high)

    def _state(self, on: Collection[NetKey]) -> State:
        return loads(self._powered.network, *(("switch", *net) for net in on))

    def _across(self, one: Pin, two: Pin | None) -> tuple[Node, Node]:
        return self._node(one), self._node(two) if two else self._places.ground(one[0])

    def _node(self, pin: Pin, pulled: Collection[tuple[str, str]] = ()) -> Node:
        board, connector, number = pin
        if (board, connector) in pulled:
            return plug_node(*pin)
        at = self._places.pad((board, connector), number)
        return at or plug_node(*pin)  # where a pin has no net nothing is met

    @property
    def _too_large(self) -> bool:
        elements = circuit(self.assembly).network.elements
        return len(elements) * len(self.assembly.fits) > limits.CIRCUIT_WORK

    @cached_property
    def _places(self) -> Places:
        return Places(Copper(self.assembly))

    @cached_property
    def _powered(self) -> Circuit:
        """The machine as it is, with every tolerance as a band."""
        network, made = circuit(self.assembly).network, {}
        room = (in_room(network, fit, self.room_c).items() for fit in self.assembly.fits)
        known = {key: band for bands in room for key, band in bands}
        for key, it in network.elements.items():
            ohm = known.get(key, it.ohm)
            made[key] = evolve(it, ohm=evolve(ohm, assumed="tolerance" * (ohm.low < ohm.high)))
        return Circuit(evolve(network, elements=made))

    def _unpowered(self, pulled: Collection[tuple[str, str]], pressed: bool) -> Ends:
        key = frozenset(pulled), pressed
        if key not in self._kept:
            network, fits = circuit(self.assembly).network, self.assembly.fits
            self._kept[key] = unpowered(network, fits, self.room_c, pulled, pressed)
        return self._kept[key]


def _ohms(low: float | None, nominal: float | None, high: float | None) -> Reading:
    shown = (math.inf if it is None or it > _SHOWN_OHM else it for it in (low, nominal, high))
    least, likely, most = shown
    return Reading("ohm", least, likely, most + LEADS_OHM)


def _named(element: Element) -> str:
    if element.key[0] == "part":
        return str(element.key[1])
    wire = next((it for it in element.carriers if it.kind == "wire"), None)
    return (wire or element.carriers[0]).what
