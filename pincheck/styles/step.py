"""What is done to one setting to change what it claims, in the user's own spelling."""

from attrs import field, frozen

from pincheck.model.setting import Setting


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
    after: Setting | None = field(default=None, repr=False)

    @property
    def joins(self) -> bool:
        """Whether the section or command is there already."""
        return self.after is not None and self.after.section == self.section


Step = Replace | Enable | Disable | Retire | Add
