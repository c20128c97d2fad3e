"""Lark grammars from the package's own folder, kept built between runs where that is safe."""

import os
import stat
from pathlib import Path
from typing import Any

from lark import Lark

from pincheck import resources


def load(name: str, start: str | list[str] = "start", **options: Any) -> Lark:
    """Return the LALR parser of `grammars/<name>.lark`.

    `options` are Lark's own (`transformer`, `propagate_positions`, `maybe_placeholders` ...).
    Building costs about 12 ms; from the user's cache folder it costs about 1.2 ms.

    Raises:
        FileNotFoundError: there is no such grammar.
    """
    path = resources.folder("grammars") / f"{name}.lark"
    starts = [start] if isinstance(start, str) else start
    folder = _cache_folder()
    cache = str(folder / f"{name}-{'-'.join(starts)}.grammar") if folder else False
    return Lark(
        path.read_text(encoding="utf-8"),
        start=starts,
        parser="lalr",
        cache=cache,
        source_path=str(path),
        **options,
    )


def _cache_folder() -> Path | None:
    """Return a folder that only this user can write to, None where there is none.

    A built grammar is loaded by unpickling, which runs whatever the file says: it may come from
    nowhere that somebody else can write.
    """
    if not hasattr(os, "getuid"):
        return None
    home = os.environ.get("XDG_CACHE_HOME", "")
    try:
        base = Path(home) if Path(home).is_absolute() else Path.home() / ".cache"
        folder = base / "pincheck"
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        found = folder.lstat()
    except (OSError, RuntimeError):
        return None
    private = (
        stat.S_ISDIR(found.st_mode)
        and found.st_uid == os.getuid()
        and not stat.S_IMODE(found.st_mode) & 0o077
        and os.access(folder, os.W_OK)
    )
    return folder if private else None
