"""What is found below a folder or in an archive and is set aside: no mistake, no configuration."""

import re
from collections.abc import Callable

from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem

_NAMES = (
    ("a log", re.compile(r"\.log(?:[-._]?\d[\d._-]*|\.(?:old|bak|txt))?$", re.IGNORECASE)),
    ("a program", re.compile(r"\.(?:c|cc|cpp|hpp|ino|s|ld|py|js|sh)$", re.IGNORECASE)),
)

Content = Callable[[int], bytes]
"""Returns at most so many bytes of a file."""


@frozen
class Aside:
    """One file that was not taken in, and why.

    `content` is for an include that asks for it: what its name says is then no reason any more.
    None where what is in it could not be used either.
    """

    problem: Problem
    content: Content | None = None


def by_name(name: str) -> Problem | None:
    """Return why a file is set aside for what its name says it is; its size then counts nothing."""
    what = next((what for what, pattern in _NAMES if pattern.search(name)), "")
    if not what:
        return None
    return Problem(name, f"this is {what} by its name, not a configuration", fatal=True)
