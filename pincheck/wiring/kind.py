"""What a TOML file of a wiring description is, told from its tables."""

from collections.abc import Container
from pathlib import Path
from typing import Literal

from pincheck.toml.document import parse
from pincheck.wiring import folder

WiringKind = Literal["assembly", "board", "other"]


def wiring_kind(path: Path) -> WiringKind:
    """Return what a file describes; a broken one counts as what its readable tables say.

    Raises:
        UnreadableError: it cannot be read at all.
    """
    return kind_of(parse(folder.read(path, path.name)).values)


def kind_of(tables: Container[str]) -> WiringKind:
    """Return what a file with these tables describes."""
    if "board" in tables or "connectors" in tables:
        return "board"
    return "assembly" if any(name in tables for name in ("assembly", "boards", "fit")) else "other"
