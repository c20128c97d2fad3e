"""What is measured on each unit of a board, between which pins, and what it has to read.

All figures are those of the board's circuit, alone and without power.
"""

import math
from collections.abc import Iterator
from hashlib import sha256
from itertools import combinations
from typing import Literal

from attrs import evolve

from pincheck.analysis.meter import OPEN_OHM, Meter, Pin
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly, Board, Connector
from pincheck.wiring.plugs import cells

TestKind = Literal["joined", "apart", "resistance", "volts", "look"]

_UNIT = "unit"
_ROOM_C = 25.0

_JOINED_OHM = 5.0
"""What reads more is a resistor or a wrong joint, no track (`common practice`)."""


_ROUGH = 0.5
"""Ends of a band this far apart let a resistor of half its value pass."""


@frozen
class UnitTest:
    """One test; `one` and `two` are pins as "connector.pin", `two` empty for a look.

    A reading in `unit` passes from `low` to `high`, None where that side is open. A look has no
    unit: its reading is yes or no. `power` is that of the board's own supply.
    """

    id: str
    kind: TestKind
    do: str
    one: str
    two: str = ""
    unit: Literal["", "ohm", "V"] = ""
    low: float | None = None
    high: float | None = None
    power: Literal["off", "on"] = "off"


@frozen
class TestPlan:
    """The tests of one revision; `digest` tells its board file, `untested` what no pin reaches."""

    board: str
    digest: str
    tests: tuple[UnitTest, ...]
    untested: tuple[str, ...] = ()

    def find(self, id_: str) -> UnitTest | None:
        """Return the test of an identifier."""
        return next((it for it in self.tests if it.id == id_), None)


def plan(board: Board) -> TestPlan:
    """Return the plan of a board: looks, what is joined and apart, resistors, then volts."""
    made = _Plan(board)
    looks, joined, apart = tuple(made.looks()), tuple(made.joined()), tuple(made.apart())
    resistors = tuple(made.resistors())
    tests = (*looks, *joined, *apart, *resistors, *made.volts())
    digest = sha256(board.source.data if board.source else b"").hexdigest()[:12]
    return TestPlan(board.title, digest, tests, tuple(made.untested))


class _Plan:
    """Goes through one board; `untested` fills while its tests are made."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.meter = Meter(Assembly(board.title, {_UNIT: board}), _ROOM_C)
        self.pins: dict[str, list[Pin]] = {}
        # The connector with most pins first: there a jig has its plug.
        for connector in sorted(board.connectors.values(), key=lambda it: -len(it.pins)):
            for number, net in enumerate(connector.pins, 1):
                if net:
                    self.pins.setdefault(net, []).append((_UNIT, connector.name, number))
        self.untested: list[str] = []

    def looks(self) -> Iterator[UnitTest]:
        """Yield what is seen: each connector the right way round, its plugged positions empty."""
        for connector in self.board.connectors.values():
            seen = ", ".join(("pin 1 at the board's mark", *_seen(connector)))
            do = f"{connector.name}: {seen}."
            yield UnitTest(f"look {connector.name}", "look", do, connector.name)

    def joined(self) -> Iterator[UnitTest]:
        """Yield for each net that its first pin reaches every other one."""
        for net, (first, *others) in self.pins.items():
            for other in others:
                reading = self.meter.ohm(first, other)
                if reading is None or reading.high > _JOINED_OHM:
                    high = "nothing is known" if reading is None else f"{reading.high:g} ohm"
                    self.untested.append(f"{_at(first)} to {_at(other)} of {net}: {high}")
                    continue
                yield _ohms("joined", net, first, other, None, reading.high)

    def apart(self) -> Iterator[UnitTest]:
        """Yield for each two nets side by side on a connector, and each two rails, no bridge."""
        pairs = dict.fromkeys(
            tuple(sorted(pair))
            for connector in self.board.connectors.values()
            for pair in _neighbours(connector)
        )
        rails = [net for net in self.pins if self.board.nets[net].is_rail]
        pairs |= dict.fromkeys(tuple(sorted(pair)) for pair in combinations(rails, 2))
        for one, two in pairs:
            reading = self.meter.ohm(self.pins[one][0], self.pins[two][0])
            if reading is None or reading.low < _JOINED_OHM:
                known = "nothing is known" if reading is None else "the circuit joins them"
                self.untested.append(f"{one} apart from {two}: {known}")
            elif math.isinf(reading.nominal):
                least = min(reading.low, OPEN_OHM)
                yield _ohms("apart", f"{one} and {two}", *self._firsts(one, two), least, None)

    def resistors(self) -> Iterator[UnitTest]:
        """Yield for each net with a resistor of its own what it reads, to a rail where it can."""
        seen: set[str] = set()
        for net in self.board.nets.values():
            if not (net.pullup or net.pulldown or net.divider or net.series_ohm):
                continue
            others = [it for it in self.pins if it != net.name] if net.name in self.pins else []
            read = {it: self.meter.ohm(*self._firsts(net.name, it)) for it in others}
            known = {
                it: reading
                for it, reading in read.items()
                if reading and _JOINED_OHM < reading.nominal < math.inf
            }
            best = min(
                known,
                key=lambda it: (not self.board.nets[it].is_rail, known[it].nominal),
                default=None,
            )
            if best is None:
                self.untested.append(f"the resistor on {net.name}: no two pins read it")
                continue
            if f"{best} {net.name}" in seen:
                continue  # the same two pins from the other end
            seen.add(f"{net.name} {best}")
            reading = known[best]
            if reading.low < _ROUGH * reading.high:
                self.untested.append(f"the value on {net.name}: chips beside it hide half of it")
            high = None if math.isinf(reading.high) else reading.high
            ends = self._firsts(net.name, best)
            yield _ohms("resistance", f"{net.name} to {best}", *ends, reading.low, high)

    def volts(self) -> Iterator[UnitTest]:
        """Yield what each supply that the board feeds reads against ground."""
        ground = next((it for it in self.pins if self.board.nets[it].is_ground), None)
        for net, pins in self.pins.items():
            about = self.board.nets[net]
            if ground is None or not about.fed_here or about.is_ground:
                continue
            ends = pins[0], self.pins[ground][0]
            reading = self.meter.volts(*ends)
            if reading is None:
                self.untested.append(f"the volts of {net}: nothing is known")
                continue
            test = _ohms("volts", net, *ends, reading.low, reading.high)
            yield evolve(test, unit="V", power="on")

    def _firsts(self, one: str, two: str) -> tuple[Pin, Pin]:
        return self.pins[one][0], self.pins[two][0]


_DO = {
    "joined": "{} to {}: one net, {}.",
    "apart": "{} to {}: {} apart.",
    "resistance": "{} to {}: the resistor of {}.",
    "volts": "{} against {}, the board fed: {}.",
}


def _ohms(
    kind: TestKind, what: str, one: Pin, two: Pin, low: float | None, high: float | None
) -> UnitTest:
    ends = _at(one), _at(two)
    low, high = (None if it is None else float(f"{it:.4g}") for it in (low, high))
    do = _DO[kind].format(*ends, what)
    return UnitTest(f"{kind} {' '.join(ends)}", kind, do, *ends, "ohm", low, high)


def _at(pin: Pin) -> str:
    return f"{pin[1]}.{pin[2]}"


def _seen(connector: Connector) -> Iterator[str]:
    if connector.keyed or connector.latch:
        yield "key and latch on their side"
    for position in connector.plugged:
        yield f"position {position} without a pin"


def _neighbours(connector: Connector) -> Iterator[tuple[str, str]]:
    """Yield the nets of pins that a drop of solder may bridge: side by side or across a corner."""
    at = dict(zip(cells(connector), connector.pins, strict=True))
    for (column, row), net in at.items():
        for beside in (
            (column + 1, row),
            (column, row + 1),
            (column + 1, row + 1),
            (column + 1, row - 1),
        ):
            other = at.get(beside, "")
            if net and other and net != other:
                yield net, other
