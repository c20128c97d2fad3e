"""What is found below a folder or in an archive and is set aside: no mistake, no configuration."""

import re

from attrs import frozen

from pincheck.model.problem import Problem

_NAMES = (
    ("a log", re.compile(r"\.log(?:[-._]?\d[\d._-]*|\.(?:old|bak|txt))?$", re.IGNORECASE)),
    ("a program", re.compile(r"\.(?:c|cc|cpp|hpp|ino|s|ld|py|js|sh)$", re.IGNORECASE)),
)


@frozen
class Aside:
    """One file that was not taken in, and why."""

    problem: Problem


def by_name(name: str) -> Aside | None:
    """Return a file set aside for what its name says it is; its size then counts nothing."""
    what = next((what for what, pattern in _NAMES if pattern.search(name)), "")
    if not what:
        return None
    return Aside(Problem(name, f"this is {what} by its name, not a configuration", fatal=True))
