"""The package's own files, and what was compiled of them when the package was installed."""

import marshal
import os
from collections.abc import Iterator
from contextlib import suppress
from importlib import import_module
from importlib.util import source_hash
from pathlib import Path
from typing import Any

_PACKAGE = Path(__file__).resolve().parent

_INSTALLED = (_PACKAGE / "grammars").is_dir()

COMPILED = _PACKAGE / "compiled"
"""One file for each source; missing in a checkout that was never built."""


def folder(name: str) -> Path:
    """Return the folder `name` ("grammars" or "configs").

    In a wheel it lies in the package; in a checkout and an editable installation beside it.

    Raises:
        FileNotFoundError: the installation lacks the folder.
    """
    for place in (_PACKAGE / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"pincheck's own folder {name!r} is missing: install pincheck again")


def sources() -> Iterator[Path]:
    """Yield every file that is compiled: vocabularies, sensors, grammars, chips and parts."""
    for place, pattern in (
        (folder("grammars"), "*"),
        (_PACKAGE / "chips" / "data", "*.toml"),
        (_PACKAGE / "chips" / "data", "*.json"),
        (folder("configs"), "parts.toml"),
    ):
        yield from place.glob(pattern)


def table(source: Path) -> dict[str, Any]:
    """Return the content of one of the package's own TOML or JSON files, which hold no dates.

    Raises:
        FileNotFoundError: there is no such file.
    """
    content: dict[str, Any] = compiled(source) or parsed(source)
    return content


def compiled(source: Path) -> Any:
    """Return what was compiled of `source`, None where nothing was or `source` has changed since.

    An installed wheel never changes; in a checkout the file's own bytes decide.
    """
    with suppress(OSError, EOFError, ValueError, TypeError):
        # Read in 0.2 ms what takes JSON 1 and TOML 20; it lies beside the bytecode, which has the
        # same format, and whoever can write to the one can write to the other.
        stamp, content = marshal.loads((COMPILED / f"{source.name}.data").read_bytes())
        if _INSTALLED or stamp == source_hash(source.read_bytes()):
            return content
    return None


def keep_compiled(source: Path, content: Any) -> None:
    """Write what was compiled of `source`, whole or not at all: somebody may be reading it."""
    target = COMPILED / f"{source.name}.data"
    fresh = target.with_suffix(f".{os.getpid()}")
    fresh.write_bytes(marshal.dumps((source_hash(source.read_bytes()), content)))
    fresh.replace(target)


def parsed(source: Path) -> dict[str, Any]:
    """Return the content of a TOML or JSON file, read from the file itself."""
    text = source.read_text(encoding="utf-8")
    parser: Any = import_module("json" if source.suffix == ".json" else "tomllib")
    content: dict[str, Any] = parser.loads(text)
    return content
