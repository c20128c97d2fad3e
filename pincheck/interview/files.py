"""What was told, as the files that `check` reads."""

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from pincheck.interview.dialogue import UNKNOWN
from pincheck.interview.told import BoardTold, PartTold, Told
from pincheck.maker.files import save
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.wiring import load

ASSEMBLY = "assembly.toml"
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def sources(told: Told, home: Path) -> tuple[Source, ...]:
    """Return the assembly's file and those of its boards; a board's file inside `home` stays."""
    boards = {"main": told.main, **({"tool": told.tool} if told.tool else {})}
    placed = {key: _place(key, board, home) for key, board in boards.items()}
    made = [Source.of_text(ASSEMBLY, "\n".join([*_assembly(told, placed), ""]))]
    for key, board in boards.items():
        if board.path is None:
            made.append(Source.of_text(placed[key], "\n".join([*_board(board), ""])))
        elif board.board and board.board.source and not board.path.is_relative_to(home):
            source = board.board.source
            made.append(Source(placed[key], source.text, source.data, bom=source.bom))
    return tuple(made)


def read_back(made: tuple[Source, ...], told: Told, home: Path) -> Assembly:
    """Return the assembly as it is read from its files.

    Raises:
        UnreadableError: the answers do not fit together.
    """
    with TemporaryDirectory(prefix="pincheck-") as scratch:
        kept = [
            Source(it.path.relative_to(home).as_posix(), source.text, source.data, bom=source.bom)
            for it in (told.main, told.tool)
            if it and it.path and it.path.is_relative_to(home)
            if it.board and (source := it.board.source)
        ]
        save(Path(scratch), {source.name: source for source in (*kept, *made)}.values())
        return load(Path(scratch) / ASSEMBLY)


def _place(key: str, board: BoardTold, home: Path) -> str:
    if board.path:
        inside = board.path.is_relative_to(home)
        return board.path.relative_to(home).as_posix() if inside else f"boards/{board.path.name}"
    slug = re.sub(r"[^a-z0-9]+", "-", board.name.lower()).strip("-")
    return f"boards/{slug or 'board'}-{key}.toml"


def _board(board: BoardTold) -> Iterator[str]:
    yield f"# {board.name}, as it was told; `pincheck words wiring` lists all that can be said."
    yield from _table("board", {"name": board.name, **board.about})
    for name, net in board.nets.items():
        yield from _table(f"nets.{_key(name)}", net)
    for name, driver in board.drivers.items():
        yield from _table(f"drivers.{_key(name)}", driver)
    if board.names:
        yield from _table("pin_names.gcode", board.names)
    for name, pins in board.sockets.items():
        unknown = [str(n) for n, it in enumerate(pins, 1) if it == UNKNOWN]
        yield from _table(
            f"connectors.{_key(name)}",
            {"pins": ["" if it in ("-", UNKNOWN) else it for it in pins]},
            f"nobody knows what is on pin {', '.join(unknown)}" if unknown else "",
        )


def _assembly(told: Told, placed: Mapping[str, str]) -> Iterator[str]:
    yield "# Written from answers; `pincheck words wiring` lists all that can be said besides."
    yield from _table("assembly", {"name": told.name})
    if told.unknown:
        yield "# Fitted, but not known well enough: not checked, whatever the firmware says."
        yield "unknown = ["
        yield from (f"    {json.dumps(role)},  # {why}" for role, why in told.unknown.items())
        yield "]"
    yield from _table("boards", placed)
    if (cable := told.cable) and cable.wiring:
        yield from _table(
            "[cables]",
            {"from": cable.start, "to": cable.end, "wiring": cable.wiring, "wire": cable.wire},
        )
    for it in told.parts:
        yield from _table(f"fit.{it.role.replace('.', '_')}", _fit(it), it.part.title)
    for group, limit in told.limits.items():
        yield from _table(f"limits.{group}", limit)


def _fit(it: PartTold) -> dict[str, Any]:
    in_order = it.pins == tuple(range(1, len(it.pins) + 1))
    return {
        "role": it.role,
        "at": it.at or None,
        "part": it.part.id,
        "pins": None if in_order else list(it.pins),
    }


def _table(title: str, values: Mapping[str, Any], comment: str = "") -> Iterator[str]:
    yield ""
    yield f"[{title}]{f'  # {comment}' if comment else ''}"
    yield from (f"{_key(key)} = {_value(it)}" for key, it in values.items() if it not in _LEFT_OUT)


_LEFT_OUT: tuple[Any, ...] = (None, "", {}, 0.0)


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)


def _value(it: Any) -> str:
    if isinstance(it, dict):
        said = (f"{key} = {_value(value)}" for key, value in it.items() if value is not None)
        return f"{{ {', '.join(said)} }}"
    if isinstance(it, list):
        return f"[{', '.join(map(_value, it))}]"
    return json.dumps(it, ensure_ascii=False)
