"""The section style: `[section]` headers with `key: value` lines and a saved block."""

import re
from collections.abc import Container, Mapping, Sequence

from pincheck.model.finding import Edit
from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.styles.console import Console
from pincheck.styles.files import Files
from pincheck.styles.groups import Group, Groups, Reached, Things
from pincheck.styles.layout import Layout
from pincheck.styles.step import Add
from pincheck.styles.style import Style

_NAMED: Mapping[tuple[str, str], str] = {
    ("watching fan", "hotend"): "hotend_fan",
    ("controller fan", "controller"): "controller_fan",
    ("free fan", "part"): "part_fan",
    ("free fan", "aux"): "fan",
    ("free fan", "chamber"): "chamber_fan",
    ("heater", "chamber"): "chamber",
    ("heater", "aux"): "heater",
    ("sensor of heater", "chamber"): "chamber",
    ("sensor", "chamber"): "chamber",
    ("sensor", "board"): "board",
    ("sensor", "aux"): "sensor",
    ("output", "aux"): "output",
    ("filament switch", "filament"): "filament",
}
"""The name that a new section of a kind gets for a group."""

_NUMBER_APART = re.compile(r"(extruder|stepper_[a-z])\s+(\d+)")
"""Names that take their number without a blank (public sources of the style)."""


class Section(Style):
    """See `Style`."""

    __slots__ = ()
    name = "section"
    saved_block = "#*#"
    form = re.compile(
        r"(?P<prefix>[!^~\s]*)(?:(?P<chip>[^:\s]+)(?P<colon>\s*:\s*))?(?P<name>.*)", re.DOTALL
    )
    separator = re.compile(r",")
    pulls = {"up": "^", "down": "~"}
    absent = ""
    main_chips = ("0", "mcu")
    chip_colon = ":"
    in_capitals = True
    shared = "multi_pin"
    virtual = "probe:{axis}_virtual_endstop"
    sections = True
    folds_lines = True
    one_setting_a_pin = True
    slow_is_off = True
    sensor_sections = ("thermistor", "adc_temperature")

    def read(
        self,
        sources: Sequence[Source],
        starts: Sequence[Source] = (),
        others: Sequence[Source] = (),
    ) -> Reading:
        from pincheck.readers import section

        return section.read(sources, starts, others)

    @property
    def files(self) -> Files:
        from pincheck.styles.section.files import SectionFiles

        return SectionFiles()

    @property
    def layout(self) -> Layout:
        from pincheck.styles.section.layout import SectionLayout

        return SectionLayout()

    @property
    def console(self) -> Console:
        from pincheck.styles.section.console import SectionConsole

        return SectionConsole()

    def place(self, section: str) -> str:
        return f"[{section}]"

    def meant(self, section: str) -> str:
        apart = _NUMBER_APART.fullmatch(section)
        return f"{apart[1]}{apart[2].lstrip('0')}" if apart else ""

    def groups(self, things: Things, reached: Reached, fitted: frozenset[str]) -> Groups:
        from pincheck.styles.section.groups import section_groups

        return section_groups(things, reached, fitted)

    def heater(self, name: str, groups: Groups) -> Group | None:
        from pincheck.styles.section.groups import heater

        return heater(name, groups.table)

    def heater_name(self, group: Group, groups: Groups) -> str:
        if group[0] == "hotend":
            return f"extruder{group[1] or ''}"
        return "heater_bed" if group[0] == "bed" else super().heater_name(group, groups)

    def new_name(self, kind: str, group: Group, taken: Container[str]) -> str:
        del taken
        name = _NAMED.get((kind, group[0]))
        return f"{name}{group[1] or ''}" if name else ""

    def written(self, add: Add) -> str:
        """Write key and value with what this user writes between them in the section."""
        between = ""
        if add.after and add.joins:
            between = add.after.source.text[add.after.key_end : add.after.value_start]
        known = between.strip() in (":", "=") and "\n" not in between
        return f"{add.key}{between if known else ': '}{add.text}"

    def told(self, add: Add) -> str:
        return f"[{add.section}] gets {self.written(add)}"

    def block(self, adds: Sequence[Add], reading: Reading) -> Edit:
        """Put a new section at the end: a kindred setting stands in another one."""
        after = adds[0].after
        return self.at_end(after.source if after else reading.sources[0], self.lines(adds))

    def lines(self, adds: Sequence[Add]) -> list[str]:
        return ["", f"[{adds[0].section}]", *super().lines(adds)]


STYLE = Section()
