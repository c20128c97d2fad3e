"""What was told of a machine, while it is being asked."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from attrs import define, field

from pincheck.interview.dialogue import UNKNOWN
from pincheck.model.wiring import Board, Part

Pins = Mapping[str, tuple[str, ...]]
"""By socket, what each pin carries: a rail, chip pin or net; `-` nothing, `?` nobody knows."""


@define
class BoardTold:
    """A board: one that has a file, or what was told of it, table by table."""

    name: str
    sockets: dict[str, tuple[str, ...]] = field(factory=dict)
    path: Path | None = None
    board: Board | None = None
    about: dict[str, Any] = field(factory=dict)
    nets: dict[str, dict[str, Any]] = field(factory=dict)
    drivers: dict[str, dict[str, Any]] = field(factory=dict)
    names: dict[str, str] = field(factory=dict)

    @classmethod
    def of_file(cls, path: Path, board: Board) -> "BoardTold":
        """Return the board that a file describes."""
        sockets = {
            it.name: tuple(net or "-" for net in it.pins) for it in board.connectors.values()
        }
        return cls(board.title, sockets, path, board)


@define
class CableTold:
    """The cable between mainboard and breakout; `wiring` is empty where nobody knows it."""

    start: str
    end: str
    wiring: str | list[list[int]] = ""
    wire: dict[str, Any] = field(factory=dict)

    def far(self, lengths: tuple[int, int]) -> Iterator[tuple[int, int]]:
        """Yield (pin of the mainboard, pin of the breakout) from 1."""
        if isinstance(self.wiring, list):
            yield from ((one, other) for one, other in self.wiring)
        elif self.wiring:
            for pin in range(1, min(lengths) + 1):
                yield pin, pin if self.wiring == "straight" else lengths[1] + 1 - pin


@define
class PartTold:
    """One part: its role; its connector and each terminal's pin, unless it has no wires."""

    role: str
    part: Part
    at: str = ""
    pins: tuple[int, ...] = ()


@define
class Told:
    """Everything that was told; `unknown` is what nobody knows of a role that is fitted."""

    name: str
    main: BoardTold
    tool: BoardTold | None = None
    cable: CableTold | None = None
    parts: list[PartTold] = field(factory=list)
    unknown: dict[str, str] = field(factory=dict)
    limits: dict[str, dict[str, Any]] = field(factory=dict)

    def ends(self) -> tuple[str, ...]:
        """Return every socket with a pin left for a part, as "board.socket"."""
        used = {self.cable.start, self.cable.end} if self.cable else set()
        boards = {"main": self.main, **({"tool": self.tool} if self.tool else {})}
        names = (f"{key}.{name}" for key, board in boards.items() for name in board.sockets)
        return tuple(
            it for it in names if it not in used and len(self.taken(it)) < len(self.pins(it))
        )

    def taken(self, end: str) -> set[int]:
        """Return the pins of a socket, from 1, that a part has already."""
        return {pin for it in self.parts if it.at == end for pin in it.pins}

    def pins(self, end: str) -> tuple[str, ...]:
        """Return what each pin of "board.socket" carries."""
        key, _, name = end.partition(".")
        board = self.main if key == "main" or self.tool is None else self.tool
        return board.sockets[name]

    def behind(self, end: str, carried: str) -> set[str]:
        """Return what is on the mainboard behind one pin of a socket; `?` where nobody knows."""
        if carried == "-":
            return set()
        if carried == UNKNOWN:
            return {UNKNOWN}
        if not end.startswith("tool.") or self.tool is None:
            return {carried}
        if self.cable is None or not self.cable.wiring:
            return {UNKNOWN}
        near, far = self.pins(self.cable.start), self.pins(self.cable.end)
        nets = self._towards_chip(carried)
        pairs = self.cable.far((len(near), len(far)))
        return {near[one - 1] for one, other in pairs if far[other - 1] in nets} - {"-"}

    def _towards_chip(self, net: str) -> set[str]:
        found = {net}
        nets = self.tool.board.nets if self.tool and self.tool.board else {}
        while net in nets and nets[net].driven_by not in ("", *found):
            net = nets[net].driven_by
            found.add(net)
        return found
