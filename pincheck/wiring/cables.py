"""Connectors of an assembly and what holds each of their pins; cables, worked out pin by pin."""

from collections.abc import Iterator, Mapping
from typing import Any

from attrs import evolve

from pincheck.model.nearest import nearest
from pincheck.model.source import Span
from pincheck.model.wiring import Board, Cable, Connector, Wire
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show
from pincheck.wiring import schema

Socket = tuple[str, str, Connector | None]
"""Board key, connector's name and the connector, None where its board is unreadable."""


class Sockets:
    """The connectors of all boards, with the cable or part that holds each pin.

    A board that could not be read is None: nothing at it can be checked.
    """

    def __init__(self, tables: Tables, boards: Mapping[str, Board | None]) -> None:
        self.tables = tables
        self.boards = boards
        self.marked: list[Span] = []
        self._taken: dict[tuple[str, str, int], str] = {}

    def mark(self, path: KeyPath, read: dict[str, Any]) -> None:
        """Keep the place of a table that carries a draft mark: the line its `at` points to."""
        if read.get("unverified"):
            self.marked.append(self.tables.document.key(path))

    def find(self, path: KeyPath, written: str | None) -> Socket | None:
        """Return the connector that "board.connector" means; note a mistake where none."""
        if written is None:
            return None
        key, dot, name = written.partition(".")
        if not dot:
            known = (
                f"{b}.{c}" for b, board in self.boards.items() if board for c in board.connectors
            )
            message = f"{show(written)} names no connector"
            self.tables.wrong(
                path, message, 'connector as "board.connector"', nearest(written, known)
            )
            return None
        if key not in self.boards:
            message = f"there is no board {show(key)}"
            self.tables.wrong(path, message, "a key of [boards]", nearest(key, self.boards))
            return None
        board = self.boards[key]
        if board is None:
            return key, name, None
        if name not in board.connectors:
            message = f"{show(board.title or key)} has no connector {show(name)}"
            near = nearest(name, board.connectors)
            expected = "" if near else "one of " + ", ".join(board.connectors)
            self.tables.wrong(path, message, expected, f"{key}.{near}" if near else "")
            return None
        return key, name, board.connectors[name]

    def take(self, path: KeyPath, end: tuple[str, str], pins: list[int], what: str) -> None:
        """Note every pin that something else holds already, and hold the others."""
        for pin in dict.fromkeys(pins):
            holder = self._taken.setdefault((*end, pin), what)
            if holder != what:
                message = f"pin {pin} of {'.'.join(end)} holds {holder} already"
                self.tables.wrong(path, message, "one cable or part on each pin")

    def pin(self, path: KeyPath, pin: int, count: int | None, used: set[int]) -> bool:
        """Return whether a pin exists and is not in `used`, and put it there; note where not."""
        if pin in used:
            self.tables.wrong(path, f"pin {pin} is given twice", "each pin of an end once")
            return False
        used.add(pin)
        if count is not None and not 1 <= pin <= count:
            self.tables.wrong(path, f"there is no pin {pin}", f"a pin from 1 to {count}")
            return False
        return True

    def whole(self, path: KeyPath, pin: object) -> bool:
        """Return whether a value can be a pin's number; note where not."""
        if is_pin(pin):
            return True
        self.tables.wrong(path, f"{show(pin)} is no pin", "a whole number from 1 on")
        return False


def count_pins(connector: Connector | None) -> int | None:
    """Return how many pins a connector has, None where its own mistakes hide that."""
    return len(connector.pins) or None if connector else None


def is_pin(value: object) -> bool:
    """Return whether a value is a whole number."""
    return isinstance(value, int) and not isinstance(value, bool)


def read_cables(tables: Tables, sockets: Sockets) -> Iterator[Cable]:
    """Yield every cable, its pairs worked out."""
    listed = tables.document.values.get("cables", [])
    if not isinstance(listed, list):
        tables.wrong(("cables",), "cables is no list", "[[cables]], one table each")
        return
    for number in range(len(listed)):
        path: KeyPath = ("cables", number)
        read = tables.read(path, schema.CABLE)
        sockets.mark(path, read)
        ends = [sockets.find((*path, key), read.get(key)) for key in ("from", "to")]
        lengths = [count_pins(end[2]) if end else None for end in ends]
        pairs = tuple(_pairs(sockets, (*path, "wiring"), read.get("wiring", "straight"), lengths))
        name = f"cable {number + 1}"
        first, second = ends
        if first is None or second is None:
            continue
        if first[:2] == second[:2]:
            message = "the cable begins and ends at one connector"
            tables.wrong((*path, "to"), message, "another connector")
            continue
        for end, key, side in ((first, "from", 0), (second, "to", 1)):
            used = [pair[side] for pair in pairs]
            sockets.take((*path, key), end[:2], used, name)
        wiring = read.get("wiring", "straight")
        yield Cable(
            first[:2],
            second[:2],
            pairs,
            wiring=wiring if isinstance(wiring, str) else "pin by pin",
            wire=named(read.get("wire"), name),
            at=tables.document.key(path),
        )


def named(wire: Wire | None, of: str) -> Wire | None:
    """Return a wire with the name of the cable or part that it belongs to."""
    return wire and evolve(wire, of=of)


def _pairs(
    sockets: Sockets, path: KeyPath, wiring: Any, lengths: list[int | None]
) -> Iterator[tuple[int, int]]:
    tables = sockets.tables
    first, second = lengths
    if wiring in ("straight", "mirrored"):
        if first is None or second is None:
            return
        if first != second:
            message = f"a {wiring} cable joins {first} pins with {second}"
            expected = "the same number of pins at both ends, or a list of pin pairs"
            tables.wrong(path, message, expected)
        # The pins that both ends have are joined all the same, so that what hangs on them is read.
        for pin in range(1, min(first, second) + 1):
            yield pin, pin if wiring == "straight" else second + 1 - pin
        return
    if not isinstance(wiring, list):
        near = nearest(wiring, ("straight", "mirrored")) if isinstance(wiring, str) else ""
        expected = schema.CABLE["wiring"].words
        tables.wrong(path, f"{show(wiring)} is no wiring", expected, near)
        return
    used: tuple[set[int], set[int]] = (set(), set())
    for number, pair in enumerate(wiring):
        if not (isinstance(pair, list) and len(pair) == 2 and all(map(is_pin, pair))):
            message = f"{show(pair)} is no pair of pins"
            tables.wrong((*path, number), message, "two whole numbers from 1 on")
            continue
        good = [
            sockets.pin((*path, number, side), pair[side], lengths[side], used[side])
            for side in (0, 1)
        ]
        if all(good):
            yield pair[0], pair[1]
