"""One figure before and after."""

from collections.abc import Iterable, Iterator
from typing import Literal

from attrs import frozen

RevisionState = Literal["same", "moved", "gained", "lost", "rating changed"]
STATES: tuple[RevisionState, ...] = ("moved", "gained", "lost", "rating changed", "same")
"""Every state of a role or socket between two revisions, the ones to look at first."""


@frozen
class Difference:
    """A named figure in words, empty where that side has none."""

    name: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.name} {self.before or 'none'} -> {self.after or 'none'}"


def differing(rows: Iterable[tuple[str, str, str]]) -> Iterator[Difference]:
    """Yield the rows (name, before, after) whose two sides differ."""
    return (Difference(*row) for row in rows if row[1] != row[2])
