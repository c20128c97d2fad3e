"""Where the grammars and the demo's files are, in a wheel, an editable install or a checkout."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Return the folder `name` ("grammars" or "configs").

    Raises:
        FileNotFoundError: the installation lacks the folder.
    """
    for place in (_PACKAGE / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"pincheck's own folder {name!r} is missing: install pincheck again")
