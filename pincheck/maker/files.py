"""Generated files to disk: all or none, and none that a user would miss."""

from collections.abc import Iterable
from pathlib import Path

from pincheck.model.source import Source
from pincheck.writing.change import AlreadyThereError, FileChange, WriteRefusedError, held
from pincheck.writing.write import write


def save(folder: Path, sources: Iterable[Source], *, replace: bool = False) -> None:
    """Write sources into a folder, which is made if it is missing.

    A link is followed only inside the folder.

    Raises:
        AlreadyThereError: a file is there with other content and `replace` is not set.
        WriteRefusedError: the folder cannot be written; nothing was changed.
    """
    write([_change(folder.resolve(), source, replace) for source in sources])


def _change(folder: Path, source: Source, replace: bool) -> FileChange:
    path = (folder / source.name).resolve()
    if not path.is_relative_to(folder):
        raise WriteRefusedError(f"{source.name} leads out of {folder.name}; nothing was changed")
    before = None
    if path.exists():
        try:
            before = held(path)
        except OSError as error:
            raise WriteRefusedError(f"{source.name}: {error.strerror or error}") from error
        if before != source.data and not replace:
            message = f"{source.name} is there already and says something else"
            raise AlreadyThereError(f"{message}; nothing was changed")
    return FileChange(path, source.name, before, source.data)
