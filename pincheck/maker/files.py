"""Generated files to disk: all or none, and none that a user would miss."""

from collections.abc import Sequence
from pathlib import Path

from pincheck.model.source import Source


class NotWrittenError(Exception):
    """Nothing was written; the message says why."""


def save(folder: Path, sources: Sequence[Source], *, replace: bool = False) -> tuple[Path, ...]:
    """Write sources into a folder, which is made if it is missing; return the paths.

    Raises:
        NotWrittenError: a file is there already with other content and `replace` is not set, or
            the folder cannot be written.
    """
    targets = [(folder / source.name, source.data) for source in sources]
    try:
        for path, data in targets:
            if path.exists() and path.read_bytes() != data and not replace:
                raise NotWrittenError(f"{path.name} is there already and says something else")
        for path, _ in targets:
            path.parent.mkdir(parents=True, exist_ok=True)
        waiting = [(path, path.with_name(f".{path.name}.new"), data) for path, data in targets]
        for _, beside, data in waiting:
            beside.write_bytes(data)
        for path, beside, _ in waiting:
            beside.replace(path)
    except OSError as error:
        raise NotWrittenError(f"{error.filename}: {error.strerror}") from error
    return tuple(path for path, _ in targets)
