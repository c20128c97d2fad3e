"""What is kept built between runs, in a folder of the user's own."""

import json
import os
import stat
import tomllib
from contextlib import suppress
from pathlib import Path
from typing import Any


def table(path: Path) -> dict[str, Any]:
    """Return the content of one of the package's own TOML files, which hold no dates.

    What a check reads of them takes 20 ms to parse; as JSON from the user's cache folder, which
    counts for the very same text only, it takes 1 ms.
    """
    text = path.read_text(encoding="utf-8")
    place = folder()
    copy = place / f"{path.stem}.json" if place else None
    with suppress(OSError, ValueError, RecursionError):
        match copy and json.loads(copy.read_bytes()):
            case [str(kept), dict(values)] if kept == text:
                return values
    values = tomllib.loads(text)
    if copy:
        _keep(copy, json.dumps([text, values]))
    return values


def _keep(copy: Path, text: str) -> None:
    """Write a copy whole or not at all: other runs may read it at any moment."""
    fresh = copy.with_suffix(f".{os.getpid()}")
    try:
        fresh.write_text(text, encoding="ascii")
        fresh.replace(copy)
    except OSError:
        fresh.unlink(missing_ok=True)


def folder() -> Path | None:
    """Return a folder that only this user can write to, None where there is none.

    A built grammar is loaded by unpickling, which runs whatever the file says: it may come from
    nowhere that somebody else can write.
    """
    if not hasattr(os, "getuid"):
        return None
    home = os.environ.get("XDG_CACHE_HOME", "")
    try:
        base = Path(home) if Path(home).is_absolute() else Path.home() / ".cache"
        place = base / "pincheck"
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        found = place.lstat()
    except (OSError, RuntimeError):
        return None
    private = (
        stat.S_ISDIR(found.st_mode)
        and found.st_uid == os.getuid()
        and not stat.S_IMODE(found.st_mode) & 0o077
        and os.access(place, os.W_OK)
    )
    return place if private else None
