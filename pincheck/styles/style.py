"""What a style knows of itself, and what holds where it says nothing else."""

import re
from collections.abc import Collection, Container, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pincheck import resources
from pincheck.model.finding import Edit
from pincheck.model.reading import Reading
from pincheck.model.setting import Setting
from pincheck.model.source import Source
from pincheck.styles.groups import Group, Groups, Reached, Things
from pincheck.styles.pins import PinText
from pincheck.styles.step import Add, Plan, Step

if TYPE_CHECKING:
    from pincheck.styles.console import Console
    from pincheck.styles.files import Files
    from pincheck.styles.layout import Layout


class Style(PinText):
    """A family of configuration syntax: how it is read, what it calls things, how it is written.

    The values here are those of a style of plain `key value` lines without sections, prefixes of
    pins or a board's own header; a style says what is different in it.
    """

    __slots__ = ()

    # Its files

    comment = "#"
    """What makes the rest of a line a remark."""
    saved_block = ""
    """How each line begins of the block that the firmware itself writes at a file's end."""

    @property
    def vocabulary(self) -> Path:
        """The file that says what its keys mean."""
        return resources.folder("grammars") / f"{self.name}.toml"

    def read(
        self,
        sources: Sequence[Source],
        starts: Sequence[Source] = (),
        others: Sequence[Source] = (),
    ) -> Reading:
        """Return the settings of one machine.

        Reading starts at `starts`; without any, all are read as fragments. `others` are further
        files at hand, which an include may name and which need not be readable.
        """
        raise NotImplementedError

    @property
    def files(self) -> "Files":
        """How its files are told, and which of them is read first."""
        raise NotImplementedError

    @property
    def layout(self) -> "Layout":
        """What a reference configuration looks like."""
        raise NotImplementedError

    @property
    def console(self) -> "Console":
        """What is typed at the machine itself."""
        from pincheck.styles.console import Console

        return Console()

    # What it says and leaves unsaid

    sections = False
    """Whether every key stands in a section or belongs to a command."""
    key_a_line = True
    """Whether a setting is a line of its own, and no letter of a command."""
    yes = "true"
    """What switches a key on that takes yes or no."""
    bare_says_yes = False
    """Whether a key without a value says yes, and commenting it out says no."""
    folds_lines = False
    """Whether a value goes on over the lines below that begin with a blank."""
    board_header = False
    """Whether a header of the board's own sets pins and names that the files need not say."""
    files_override = True
    """Whether a file read later sets anew on purpose what an earlier one said."""
    one_setting_a_pin = False
    """Whether the firmware refuses the second of two settings that name one pin."""
    slow_is_off = False
    """Whether a fan is switched off below its lowest duty, not raised to it."""
    tables_have_pullup = False
    """Whether a sensor's table is computed for one pull-up, which then needs no key."""
    sensor_word = "sensor type"
    sensor_sections: tuple[str, ...] = ()
    """Sections that describe a sensor under the name that stands behind them."""
    sensor_words: Mapping[str, str] = {}
    """The words for sensors by id, of a style that the file of the catalogue does not list."""

    def place(self, section: str) -> str:
        """Return how a section or command is shown."""
        return section

    def meant(self, section: str) -> str:
        """Return the section that a name was to be which the firmware surely does not know."""
        del section
        return ""

    def names_pin(self, key: str) -> bool:
        """Tell from a key alone whether its value is a pin, though no entry knows the key."""
        return bool(re.search(r"pins?(_\d+)?$", key.lower()))

    def outdated(self, keys: Collection[str]) -> Iterator[tuple[str, str]]:
        """Yield each key that stops the build beside newer spellings, and the key that it is now.

        `keys` are those that are set, in the user's spelling.
        """
        del keys
        yield from ()

    def uses_pin(self, key: str) -> bool:
        """Tell whether a key is in use even in a board's own header, which offers many pins."""
        del key
        return False

    def groups(self, things: Things, reached: Reached, fitted: frozenset[str]) -> Groups:
        """Return what the things are for that users number or name.

        `reached` are the roles of the parts on each thing's pin, `fitted` all roles of the wiring.
        """
        del things, reached, fitted
        return Groups({})

    def heater(self, name: str, groups: Groups) -> Group | None:
        """Return the group of a heater, or of the sensor that stands for it, by its name."""
        return groups.of(groups.followed, name)

    def heater_name(self, group: Group, groups: Groups) -> str:
        """Return the name by which other settings speak of a heater; empty where it has none."""
        return next(iter(groups.ids(groups.followed, group)), "")

    def new_name(self, kind: str, group: Group, taken: Container[str]) -> str:
        """Return the name that a thing gets which nobody set up yet; empty where it needs none."""
        del kind, group, taken
        return ""

    def axis(self, letter: str) -> str:
        """Return an axis as new keys write it."""
        return letter

    def withheld(self, step: Step, plan: Plan) -> Iterator[str]:
        """Yield why a step must be left to a person, whatever a check of its outcome would say."""
        del step, plan
        yield from ()

    # How it is written

    def quoted(self, text: str) -> str:
        """Return a new value ready to be typed."""
        return text

    def written(self, add: Add) -> str:
        """Return a new setting as one line of its own, or as it joins a command."""
        return f"{add.key} {add.text}".rstrip()

    def told(self, add: Add) -> str:
        """Return in words what a new setting is."""
        if add.after is None or not add.joins:
            return f"new: {self.written(add)}"
        what = f"{add.section} gets" if self.sections else "is followed by"
        return f"{add.after.span.source}:{add.after.span.line} {what} {self.written(add)}"

    def where_written(self, setting: Setting, sources: Sequence[Source]) -> Setting:
        """Return the setting whose text an edit of `setting` has to change: mostly itself.

        Raises:
            CannotSpellError: the value is worked out, or serves for more than this.
        """
        del sources
        return setting

    def enabled(self, setting: Setting, text: str) -> tuple[Edit, ...]:
        """Return the edits that make a commented-out line count, with a new value."""
        lead = setting.source.text[setting.start : setting.key_start].lstrip(
            f"/#;* \t{self.comment}"
        )
        gap = setting.source.text[setting.key_end : setting.value_start] or (" " if text else "")
        end = max(setting.value_end, setting.key_end)
        line = f"{self.lead(lead)}{setting.key}{gap}{text}".rstrip()
        return (Edit(setting.source.name, setting.start, end, line),)

    def lead(self, bare: str) -> str:
        """Return what stands before a key, given what is left of it without comment marks."""
        return bare

    def replaced(self, setting: Setting, text: str) -> Edit:
        """Return the edit that gives a setting another value."""
        gap = " " if setting.value_start == setting.value_end and self.key_a_line else ""
        return Edit(setting.source.name, setting.value_start, setting.value_end, gap + text)

    def disabled(self, setting: Setting) -> Edit:
        """Return the edit that keeps a setting, and it alone, from counting."""
        return self.commented(setting)

    def commented(self, setting: Setting) -> Edit:
        """Return the edit that comments a setting's line out."""
        return Edit(setting.source.name, setting.start, setting.start, self.comment)

    def joined(self, add: Add, after: Setting) -> Edit:
        """Return the edit that puts a setting into the section or command of another one."""
        source = after.source
        at = line_end(source, after.end)
        start = source.text.rfind("\n", 0, after.start) + 1
        lead = source.text[start : after.start]
        indent = lead if not lead.strip() else ""
        return Edit(source.name, at, at, f"{source.newline}{indent}{self.written(add)}")

    def creates(self, section: str) -> bool:
        """Return whether a section or command has to stand before all that speaks of its thing."""
        del section
        return False

    def may_count(self, idle: Setting, reading: Reading) -> bool:
        """Return whether a commented-out setting would count if it were switched on."""
        del idle, reading
        return True

    def block(self, adds: Sequence[Add], reading: Reading) -> Edit:
        """Return one edit that writes new lines behind a kindred setting, else at the end."""
        after = adds[0].after
        lines = self.lines(adds)
        if after is None:
            return self.at_end(reading.sources[0], lines)
        at = line_end(after.source, after.end)
        text = "".join(f"{after.source.newline}{line}" for line in lines)
        return Edit(after.source.name, at, at, text)

    def lines(self, adds: Sequence[Add]) -> list[str]:
        """Return new settings of one section or command as lines."""
        return [self.written(add) for add in adds]

    def at_end(self, source: Source, lines: list[str]) -> Edit:
        """Return the edit that puts lines at a file's end, before a block of the firmware's own."""
        text, newline = source.text, source.newline
        at = len(text)
        if self.saved_block and (saved := f"\n{text}".find(f"\n{self.saved_block}")) >= 0:
            at = saved
        ended = at == 0 or text[at - 1] == "\n"
        if not lines[0] and text[:at].endswith(2 * newline):
            lines = lines[1:]
        body = newline.join(lines) + newline + (newline if at < len(text) else "")
        return Edit(source.name, at, at, body if ended else newline + body)


def line_end(source: Source, offset: int) -> int:
    """Return the end of the line that `offset` stands on, before its line ending."""
    at = source.text.find("\n", offset)
    if at < 0:
        return len(source.text)
    return at - 1 if at > offset and source.text[at - 1] == "\r" else at
