"""Connectors of an assembly by their written names, and what sits on each of their pins."""

from collections.abc import Mapping
from typing import Any

from pincheck.model.nearest import nearest
from pincheck.model.source import Span
from pincheck.model.wiring import Board, Connector
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show

Place = tuple[str, str, Connector | None]
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

    def find(self, path: KeyPath, written: str | None) -> Place | None:
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
