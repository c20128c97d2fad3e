"""Lark grammars from the package's own folder: compiled when it was installed, else built."""

from pathlib import Path
from typing import Any

import lark
from lark import Lark
from lark.grammar import Rule
from lark.lexer import TerminalDef

from pincheck import resources

_STARTS = {"define": ["condition", "value"]}
"""The rules at which a text may start, where it is not `start` alone."""


def load(name: str, **options: Any) -> Lark:
    """Return the LALR parser of `grammars/<name>.lark`.

    `options` are those that do not change the tables: `transformer`, `propagate_positions` ...
    Building costs about 12 ms; what was compiled loads in about 1 ms.

    Raises:
        FileNotFoundError: there is no such grammar.
    """
    path = resources.folder("grammars") / f"{name}.lark"
    match resources.compiled(path):
        case [lark.__version__, data, memo]:
            # What the parsers do that Lark itself generates; it has no public name.
            parser: Lark = Lark._load_from_dict(data, memo, **options)  # type: ignore[no-untyped-call]
            return parser
    return _built(path, **options)


def compiled(path: Path) -> list[Any]:
    """Return a grammar as plain values: the release of Lark that they are for, tables, names."""
    return [lark.__version__, *_built(path).memo_serialize([TerminalDef, Rule])]


def _built(path: Path, **options: Any) -> Lark:
    return Lark(
        path.read_text(encoding="utf-8"),
        start=_STARTS.get(path.stem, ["start"]),
        parser="lalr",
        source_path=str(path),
        **options,
    )
