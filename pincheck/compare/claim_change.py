"""One claim in two configurations."""

from typing import Literal

from attrs import frozen

from pincheck.model.claim import Claim

ClaimState = Literal["same", "changed", "only before", "only after", "not comparable"]
CLAIM_STATES: tuple[ClaimState, ...] = (
    "changed",
    "only before",
    "only after",
    "not comparable",
    "same",
)
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
