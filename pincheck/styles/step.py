"""What is done to one setting to change what it claims, in the user's own spelling."""

from collections.abc import Mapping, Sequence

from attrs import field

from pincheck.model.finding import Change
from pincheck.model.frozen import frozen
from pincheck.model.reading import Reading
from pincheck.model.setting import Activity, Setting


class CannotSpellError(Exception):
    """The style, or the user's file, has no way to say it; the text says why."""


@frozen
class Replace:
    """Write `text` in place of the value of an active setting."""

    setting: Setting
    text: str


@frozen
class Enable:
    """Turn a commented-out setting into an active one, with `text` as its value."""

    setting: Setting
    text: str


@frozen
class Disable:
    """Comment an active setting out (or take its letter away)."""

    setting: Setting


@frozen
class Retire:
    """Comment out the line of a setting that has no effect; its other letters have none either."""

    setting: Setting


@frozen
class Add:
    """Write a new setting.

    `text` is ready to be typed, quotes included. `after` is the setting behind which it
    belongs: of the same section or command where that is there already, else a kindred one,
    None for the end of the main file.
    """

    section: str
    key: str
    text: str
    after: Setting | None = field(default=None)

    @property
    def joins(self) -> bool:
        """Whether the section or command is there already."""
        return self.after is not None and self.after.section == self.section


Step = Replace | Enable | Disable | Retire | Add


def key_of(step: Step) -> str:
    """Return the key that a step is about."""
    return step.key if isinstance(step, Add) else step.setting.key


def section_of(step: Step) -> str:
    """Return the section or command that a step is about."""
    return step.section if isinstance(step, Add) else step.setting.section


@frozen
class Plan:
    """The steps of several changes among the settings at hand, judged before they are offered.

    `senses` tells whether a sensor gets another pin. `stock_pins` are those that the main board's
    own header sets.
    """

    steps: Sequence[Step]
    changes: Sequence[Change]
    reading: Reading
    senses: bool
    stock_pins: Mapping[str, str]

    def active(self, section: str) -> tuple[Setting, ...]:
        """Return the settings of a section or command that are in force."""
        found = (s for s in self.reading.settings if s.activity is Activity.ACTIVE)
        return tuple(s for s in found if s.section.upper() == section.upper())
