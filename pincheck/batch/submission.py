"""One submission: what a customer sent in, and where in the batch's folder it lies."""

import os
from collections.abc import Iterator
from pathlib import Path, PureWindowsPath

from pincheck.batch.sizes import MAX_ID_CHARS, MAX_SUBMISSIONS
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError


@frozen
class Submission:
    """What a customer sent in: a file, a folder or an archive below the batch's folder.

    `path` is relative to that folder, with forward slashes; `assembly` is what a manifest names,
    empty without. `fault` says why it cannot be checked at all; empty where it can.
    """

    id: str
    path: str
    assembly: str = ""
    note: str = ""
    fault: str = ""


class SubmissionRefusedError(Exception):
    """A path that leads out of the batch's folder, or nowhere; says which."""


def entries(folder: Path) -> Iterator[Submission]:
    """Yield each entry of the folder as a submission, by name; hidden ones are passed over.

    Raises:
        OSError: the folder cannot be read.
        UnreadableError: it holds more than `MAX_SUBMISSIONS` entries.
    """
    names = sorted(name for name in os.listdir(folder) if not name.startswith("."))  # noqa: PTH208
    if len(names) > MAX_SUBMISSIONS:
        message = f"the folder holds {len(names)} entries"
        expected = f"at most {MAX_SUBMISSIONS} submissions in one batch"
        raise UnreadableError((Problem(folder.name, message, expected=expected, fatal=True),))
    for name in names:
        yield Submission(printable(name)[:MAX_ID_CHARS], name)


def locate(folder: Path, path: str) -> Path:
    """Return where a submission's path leads; `folder` is free of links.

    Raises:
        SubmissionRefusedError: out of the folder, or to nothing.
    """
    shown = printable(path)
    if not path or "\0" in path:
        raise SubmissionRefusedError("the path is empty or broken")
    windows = PureWindowsPath(path)
    if windows.drive or windows.root or Path(path).is_absolute():
        raise SubmissionRefusedError(
            f"{shown} is an absolute path; paths start at the batch's folder"
        )
    try:
        found = (folder / path).resolve()
        exists = found.exists()
    except (OSError, RuntimeError, ValueError):
        raise SubmissionRefusedError(f"{shown} leads nowhere") from None
    if not found.is_relative_to(folder) or found == folder:
        raise SubmissionRefusedError(f"{shown} leads out of the batch's folder")
    if not exists:
        raise SubmissionRefusedError(f"there is no {shown} in the batch's folder")
    return folder / path
