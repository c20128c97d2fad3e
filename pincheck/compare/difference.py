"""What became of one figure, and of one claim, from before to after."""

from collections.abc import Iterable, Iterator
from typing import Literal

from pincheck.model.claim import Claim
from pincheck.model.frozen import frozen

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


ClaimState = Literal["same", "changed", "only before", "only after", "not comparable"]
CLAIM_STATES: tuple[ClaimState, ...]
CLAIM_STATES = ("changed", "only before", "only after", "not comparable", "same")
"""Every state, the ones to look at first."""


@frozen
class ClaimChange:
    """A role's attribute in both configurations, each in words.

    `note` says what the difference comes to, or why the two cannot be compared; `by_style` that
    it is the styles that cannot be compared there, whatever these files say.
    """

    role: str
    attribute: str
    state: ClaimState
    before: str = ""
    after: str = ""
    note: str = ""
    first: Claim | None = None
    second: Claim | None = None
    by_style: bool = False
