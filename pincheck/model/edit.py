"""A change to a user's file."""

from attrs import frozen

from pincheck.model.finding import Finding


@frozen
class Edit:
    """A replacement of the characters `start` to `end` of one source."""

    source: str
    start: int
    end: int
    replacement: str


@frozen
class Proposal:
    """The edits that remove one finding, applied together or not at all.

    `note` says in words what is done; its first word names a raised limit or a weakened
    protection, and `safe` is then False. `blocked` says why no edit can be made.
    """

    finding: Finding
    edits: tuple[Edit, ...] = ()
    note: str = ""
    safe: bool = True
    blocked: str = ""
