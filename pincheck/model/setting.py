"""One assignment in a configuration file."""

from enum import Enum

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.source import Source, Span

StyleName = str
STYLES: list[StyleName] = ["define", "section", "gcode"]
"""The names of the styles; what each of them is, and one of your own, `pincheck.styles` knows."""


class Activity(Enum):
    """Whether the firmware will see a setting."""

    ACTIVE = "active"
    POSSIBLE = "possible"
    """Under a condition that the files at hand do not decide."""
    DISABLED = "disabled"
    """In a branch that is not taken, or overridden later."""
    COMMENTED = "commented out"
    LATER = "after start-up"
    """In a script that an event starts when the machine runs already."""


# thousands are made at a time, and without slots attrs makes them in half the time
@frozen(slots=False)
class Setting:
    """One assignment with its exact place.

    `section` is empty in the define style, the section's name in the section style (blanks
    folded to one) and the command with its selector in the gcode style ("M308 S0"). `value` is
    the text as written without surrounding blanks or comment; `resolved` is what it comes to
    after macros or variables, None where that is unknown (`unknown` says why). All offsets are
    character offsets in `source.text`, ends exclusive: `start`/`end` cover the whole assignment
    without its line ending (the comment mark of a commented-out one included). `saved` are those
    of the block that the firmware writes itself, which give way to the rest of the text.
    """

    style: StyleName
    source: Source = field(eq=lambda source: source.name, repr=lambda source: source.name)
    section: str
    key: str
    value: str
    start: int
    end: int
    key_start: int
    key_end: int
    value_start: int
    value_end: int
    activity: Activity = Activity.ACTIVE
    condition: str = ""
    resolved: str | None = None
    unknown: str = ""
    saved: bool = False

    @property
    def name(self) -> str:
        """The key, with its command where a mere letter would say nothing."""
        return f"{self.section} {self.key}".strip() if len(self.key) == 1 else self.key

    @property
    def span(self) -> Span:
        """The whole assignment."""
        return self.source.span(self.start, self.end)

    @property
    def key_span(self) -> Span:
        """The key alone."""
        return self.source.span(self.key_start, self.key_end)

    @property
    def value_span(self) -> Span:
        """The value alone; empty, at the end of the key, where there is none."""
        return self.source.span(self.value_start, self.value_end)
