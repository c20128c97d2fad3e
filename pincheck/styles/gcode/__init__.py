"""The gcode style: start-up scripts of commands that each set several letters."""

import re
from collections.abc import Container, Mapping, Sequence

from attrs import evolve

from pincheck.model.finding import Edit
from pincheck.model.reading import Reading
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.styles.console import Console
from pincheck.styles.files import Files
from pincheck.styles.groups import Group, Groups, Reached, Things
from pincheck.styles.layout import Layout
from pincheck.styles.step import Add
from pincheck.styles.style import Style, line_end

_NUMBERED: Mapping[tuple[str, str], int] = {
    ("heater", "bed"): 0,
    ("heater", "hotend"): 1,
    ("sensor", "bed"): 0,
    ("sensor", "hotend"): 1,
    ("fan", "part"): 0,
    ("fan", "hotend"): 1,
    ("fan", "controller"): 2,
    ("servo", "probe"): 0,
}
"""The usual number of a thing of the first of its group."""

_MARK = re.compile(r";[;\s]*")
_RUN = (Activity.ACTIVE, Activity.POSSIBLE)


class Gcode(Style):
    """See `Style`."""

    __slots__ = ()
    name = "gcode"
    comment = "; "
    form = re.compile(
        r"(?P<prefix>[!^*\s]*)(?:(?P<chip>\d{1,3})(?P<colon>\.))?(?P<name>.*)", re.DOTALL
    )
    separator = re.compile(r"[,+]")
    joint = "+"
    pulls = {"up": "^"}
    absent = "nil"
    yes = "1"
    pins_any_case = True
    numbered = True
    board_names_first = True
    sections = True
    key_a_line = False
    one_setting_a_pin = True

    def read(
        self,
        sources: Sequence[Source],
        starts: Sequence[Source] = (),
        others: Sequence[Source] = (),
    ) -> Reading:
        del others
        from pincheck.readers import gcode

        return gcode.read(sources, starts[0] if starts else None)

    @property
    def files(self) -> Files:
        from pincheck.styles.gcode.files import GcodeFiles

        return GcodeFiles()

    @property
    def layout(self) -> Layout:
        from pincheck.styles.gcode.layout import GcodeLayout

        return GcodeLayout()

    @property
    def console(self) -> Console:
        from pincheck.styles.gcode.console import GcodeConsole

        return GcodeConsole()

    def names_pin(self, key: str) -> bool:
        return key == "C"

    def groups(self, things: Things, reached: Reached, fitted: frozenset[str]) -> Groups:
        from pincheck.styles.gcode.groups import gcode_groups

        return gcode_groups(things, reached, fitted)

    def heater(self, name: str, groups: Groups) -> Group | None:
        return super().heater(name.lstrip("0") or "0", groups)

    def new_name(self, kind: str, group: Group, taken: Container[str]) -> str:
        """Return the usual number, or the next one that neither is taken nor another's usual."""
        usual = _NUMBERED.get((kind, group[0]))
        if usual is None:
            return ""
        number = usual + group[1] if usual else 0
        while str(number) in taken or (group[1] and number in _NUMBERED.values()):
            number += 1
        return str(number)

    def quoted(self, text: str) -> str:
        return text if re.fullmatch(r"[-+\d.:e]*", text) else f'"{text}"'

    def axis(self, letter: str) -> str:
        return letter.upper()

    def written(self, add: Add) -> str:
        letter = f"{add.key}{add.text}"
        if add.section[-1:].isalpha():
            # a command about an axis says which of its ends: the low one
            return letter if add.joins else f"{add.section}1 {letter}"
        if add.joins or add.key in add.section.split(" ")[-1][:1]:
            return letter
        return f"{add.section} {letter}"

    def where_written(self, setting: Setting, sources: Sequence[Source]) -> Setting:
        from pincheck.styles.gcode.variables import where_written

        return where_written(setting, sources)

    def enabled(self, setting: Setting, text: str) -> tuple[Edit, ...]:
        """Switch on a whole command that creates something: all of its letters belong to it.

        Of another one the letter gets a line of its own: the whole command would set more.
        """
        source, at = setting.source, line_end(setting.source, setting.end)
        if self.creates(setting.section):
            mark = _MARK.match(source.text, setting.start)
            end = mark.end() if mark else setting.start
            opened = Edit(source.name, setting.start, end, "")
            changed = self.replaced(setting, text)
            return (opened,) if setting.value == text else (opened, changed)
        line = f"{source.newline}{setting.section} {setting.key}{text}"
        return (Edit(source.name, at, at, line),)

    def disabled(self, setting: Setting) -> Edit:
        """Take the letter away, with the blanks before it."""
        start = len(setting.source.text[: setting.start].rstrip(" \t"))
        return Edit(setting.source.name, start, setting.end, "")

    def commented(self, setting: Setting) -> Edit:
        """Comment out the line, of which a setting is one letter."""
        line = setting.source.line(setting.span.line)
        start = setting.start - setting.span.column + 1 + len(line) - len(line.lstrip())
        return Edit(setting.source.name, start, start, self.comment)

    def joined(self, add: Add, after: Setting) -> Edit:
        return Edit(after.source.name, after.end, after.end, f" {self.written(add)}")

    def creates(self, section: str) -> bool:
        return _thing(section)[1]

    def may_count(self, idle: Setting, reading: Reading) -> bool:
        """Return whether a line stands where its command would not be lost, nor undo another."""
        thing, creates = _thing(idle.section)
        own = [s for s in reading.settings if s is idle or _thing(s.section)[0] == thing]
        at = next(n for n, s in enumerate(own) if s is idle)
        makers = [n for n, s in enumerate(own) if _thing(s.section)[1] and s.activity in _RUN]
        if creates:
            waiting = [id(lost.setting) for lost in reading.lost if lost.by is None]
            return not makers and not any(id(s) in waiting for s in own[:at])
        return all(n < at for n in makers)

    def block(self, adds: Sequence[Add], reading: Reading) -> Edit:
        """Create a thing before the first command for it, and set one behind all that did so."""
        thing, creates = _thing(adds[0].section)
        lost = (it.setting for it in reading.lost if it.by is None and thing)
        waiting = (s for s in lost if s.activity not in (Activity.LATER, *_RUN))
        first = next((s for s in waiting if _thing(s.section)[0] == thing), None)
        if creates and first:
            source, at = first.source, first.start - first.span.column + 1
            text = "".join(f"{line}{source.newline}" for line in self.lines(adds))
            return Edit(source.name, at, at, text)
        said = (s for s in reading.settings if thing and s.activity in _RUN)
        last = next((s for s in reversed([*said]) if _thing(s.section)[0] == thing), None)
        return super().block([evolve(add, after=last) for add in adds] if last else adds, reading)

    def lines(self, adds: Sequence[Add]) -> list[str]:
        """Return one command with all its letters."""
        return [" ".join((self.written(adds[0]), *(f"{a.key}{a.text}" for a in adds[1:])))]


def _thing(section: str) -> tuple[tuple[str, str] | None, bool]:
    """Return what a command is about, and whether it creates it."""
    from pincheck.readers.gcode.kinds import of_section

    return of_section(section)


STYLE = Gcode()
