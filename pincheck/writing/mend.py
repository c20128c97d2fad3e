"""What a killed command left, finished or undone by the next one that looks at the folder."""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from pincheck.model import limits
from pincheck.writing import journal as journals
from pincheck.writing.change import WriteRefusedError
from pincheck.writing.fresh import sweep
from pincheck.writing.journal import NAME


def mend(paths: Iterable[Path]) -> tuple[str, ...]:
    """Finish or undo changes that were cut off at these files and folders; return what was done.

    Journals are looked for in the folders, above them and below them. One is followed only where
    it is this user's own, and only to files of its folder that hold what it says it put there.

    Raises:
        WriteRefusedError: a command is writing there now, or files may not fit together and
            cannot be mended.
    """
    said = []
    for folder in dict.fromkeys(_folders(paths)):
        try:
            journal = journals.find(folder)
        except journals.BusyError:
            raise WriteRefusedError(f"another command is writing in {folder}: try again") from None
        except PermissionError:
            said.append(
                f"{folder / NAME} is another user's: a change may have been cut off here; it is "
                "mended by that user's next command"
            )
            continue
        except OSError as error:
            said.append(f"{folder / NAME} {error.strerror}: it is no journal and was left alone")
            continue
        if journal:
            from pincheck.writing.recover import recover

            said.append(recover(journal))
    return tuple(said)


def _folders(paths: Iterable[Path]) -> Iterator[Path]:
    """Yield every folder that can hold a journal of what is looked at."""
    for path in paths:
        here = path.resolve()
        if not path.is_dir():
            here = here.parent
        yield from (here, *here.parents)
        if path.is_dir():
            yield from _below(here)


def _below(folder: Path) -> Iterator[Path]:
    """Yield the folders that reading the folder would look into, and take old files out of them."""
    seen = 0
    for current, folders, files in os.walk(folder):
        here = Path(current)
        folders[:] = [name for name in folders if not name.startswith(".")]
        if len(here.relative_to(folder).parts) >= limits.FOLDER_DEPTH:
            folders.clear()
        seen += len(folders) + len(files)
        if seen > limits.FOLDER_ENTRIES:
            return
        if any(name.startswith(".pincheck-") for name in files):
            sweep(here)
            yield here
