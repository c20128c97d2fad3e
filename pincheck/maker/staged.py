"""What is staged in Git, as files: a commit is made of that, not of what lies in the folder."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory


class NoIndexError(Exception):
    """There is no Git index to take files from; says why."""


@contextmanager
def staged(folder: Path) -> Iterator[Path]:
    """Give a copy of a folder with every file of its repository as it is staged.

    Raises:
        NoIndexError: the folder is in no repository, or Git is not there.
    """
    with TemporaryDirectory(prefix="pincheck-") as copy:
        inside = _git(folder, "rev-parse", "--show-prefix")
        # The whole repository: boards may lie beside the folder.
        top = Path(_git(folder, "rev-parse", "--show-toplevel"))
        _git(top, "checkout-index", "--all", f"--prefix={copy}/")
        found = Path(copy) / inside
        if not found.is_dir():
            raise NoIndexError(f"nothing of {folder.name} is staged")
        yield found


def _git(folder: Path, *words: str) -> str:
    try:
        run = subprocess.run(
            ("git", *words), cwd=folder, capture_output=True, text=True, check=False
        )
    except OSError as error:
        raise NoIndexError(f"git cannot be run: {error.strerror}") from None
    if run.returncode:
        said = run.stderr.strip().splitlines() or [f"it ended with {run.returncode}"]
        raise NoIndexError(f"git {words[0]}: {said[0]}")
    return run.stdout.strip("\n")
