"""What is found below a folder or in an archive and is set aside: no mistake, no configuration."""

import re

from attrs import frozen

from pincheck.model.problem import Problem

_LOG = re.compile(r"\.log(?:[-._]?\d[\d._-]*|\.(?:old|bak|txt))?$", re.IGNORECASE)


@frozen
class Aside:
    """One file that was not taken in, and why."""

    problem: Problem


def log(name: str) -> Aside | None:
    """Return a file set aside because its name is that of a log; its size then counts nothing."""
    if not _LOG.search(name):
        return None
    return Aside(Problem(name, "this is a log by its name, not a configuration", fatal=True))
