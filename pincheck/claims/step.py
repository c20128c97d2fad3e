"""What is done to one setting to change what it claims, in the user's own spelling."""

from attrs import field, frozen

from pincheck.model.setting import Setting, Style


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

    def written(self, style: Style) -> str:
        """Return the setting as one line of its own, without a line ending.

        In the gcode style it is the letter alone where it joins a command.
        """
        if style == "define":
            return f"#define {self.key} {self.text}".rstrip()
        if style == "section":
            return f"{self.key}{self._sign()}{self.text}"
        letter = f"{self.key}{self.text}"
        if self.section[-1:].isalpha():
            # a command about an axis says which of its ends: the low one
            return letter if self.joins else f"{self.section}1 {letter}"
        if self.joins or self.key in self.section.split(" ")[-1][:1]:
            return letter
        return f"{self.section} {letter}"

    def _sign(self) -> str:
        """Return what this user writes between key and value in the section, blanks included."""
        if self.after is None or not self.joins:
            return ": "
        between = self.after.source.text[self.after.key_end : self.after.value_start]
        return between if between.strip() in (":", "=") and "\n" not in between else ": "


Step = Replace | Enable | Disable | Retire | Add
