"""Gcode style: one script, to be called from the machine's own."""

from collections.abc import Iterable, Iterator

from pincheck.styles.layout import MARK, Ground, Layout, LayoutRow, ReferenceLine, by_section
from pincheck.styles.step import CannotSpellError

_PROBES = {"servo-deployed": "9", "fixed": "8", "": "8"}
_NAMES = {"bed": "Bed", "hotend": "Hot end"}


class GcodeLayout(Layout):
    """See `Layout`."""

    __slots__ = ()
    files = ("reference.g",)
    mark = ";"
    use = "Call this file from the machine's own start-up script, after its drives."
    fan_hz = 250.0  # stock value, from memory
    current_by_command = True
    # the command that would say it tunes a model besides
    full_power_unsaid = True

    def rows(self, ground: Ground) -> Iterator[LayoutRow]:
        """Yield every letter that the script may have, command by command.

        Raises:
            CannotSpellError: the probe is of no known kind, or a second chip has no number.
        """
        yield from _rows(ground)

    def line(self, line: ReferenceLine) -> str:
        return f"{line.key}{line.text}"

    def plain(self, lines: Iterable[ReferenceLine]) -> Iterator[str]:
        """Yield each command with its letters as one line."""
        for name, own in by_section(lines):
            letters = [line for line in own if line.key]
            # the axis of an end stop is a selector and has a value all the same
            axis = next((line for line in letters if name.endswith(f" {line.key}")), None)
            start = f"{name}{axis.text}" if axis else name
            yield " ".join((start, *(self.line(line) for line in letters if line is not axis)))

    def body(self, lines: Iterable[ReferenceLine]) -> Iterator[str]:
        for _, own in by_section(lines):
            yield ""
            yours = " ".join(line.key for line in own if line.yours)
            whys = [line.why for line in own] + [f"{MARK}: {yours}" if yours else ""]
            yield from self.remarks("; ".join(dict.fromkeys(filter(None, whys))))
            yield from self.plain(own)


def _rows(ground: Ground) -> Iterator[LayoutRow]:
    for role, board in ground.other_chips().items():
        if not any(name.isdecimal() for name in ground.names_of(board)):
            title = ground.assembly.boards[board].title
            raise CannotSpellError(
                f"the gcode style calls a second board by a number, and the assembly binds none to "
                f"{title}, where the {ground.name(role)} hangs: add one under [chips]"
            )
    hotends = ground.numbers("hotend")
    if ground.numbers("bed"):
        yield from _heated(ground, "bed", 0, 0)
    for n in hotends:
        yield from _heated(ground, "hotend", n, n + 1)
    yield LayoutRow("M302", "S")
    yield from _fans(ground)
    fans = ground.fitted("part.fan")
    for n in hotends:
        tool = f"M563 P{n}"
        yield LayoutRow(tool, "D", str(n), "tool: its extruder, heater and part fan")
        yield LayoutRow(tool, "H", str(n + 1))
        if fans:
            yield LayoutRow(tool, "F", "0")
    yield from _probe(ground)
    for axis in "XYZ":
        wired = ground.trace.find(f"{axis.lower()}.endstop")
        if wired or (axis == "Z" and ground.fitted("probe.signal")):
            yield LayoutRow(f"M574 {axis}", axis, "1", "" if axis == "Z" else "assumed: low end")
            yield LayoutRow(f"M574 {axis}", "S", "1" if wired else None)
            yield LayoutRow(f"M574 {axis}", "P")
    if ground.fitted("filament.sensor"):
        yield LayoutRow("M591 D0", "P", "1")
        yield LayoutRow("M591 D0", "C")
        yield LayoutRow("M591 D0", "S", "1")
    yield from (LayoutRow("M906", axis) for axis in "XYZE")


def _heated(ground: Ground, group: str, n: int, number: int) -> Iterator[LayoutRow]:
    sensor, heater = f"M308 S{number}", f"M950 H{number}"
    name = _NAMES[group] + (f" {n + 1}" if n else "")
    word = ground.converter_word(f"{group}{n or ''}.sensor")
    for key in "PYTBCR":
        fixed = word and key == "Y"
        yield (
            LayoutRow(sensor, key, f'"{word}"', "digital converter")
            if fixed
            else LayoutRow(sensor, key)
        )
    yield LayoutRow(sensor, "A", f'"{name}"')
    yield from (LayoutRow(heater, key) for key in "CQ")
    yield LayoutRow(heater, "T", str(number), "read by the sensor above")
    if group == "bed":
        yield LayoutRow("M140 H0", "", why="heater 0 is the bed's: from here on its limit holds")
    for command, letters in (("M307", "S"), ("M143", "S"), ("M570", "PT")):
        yield from (LayoutRow(f"{command} H{number}", key) for key in letters)


def _fans(ground: Ground) -> Iterator[LayoutRow]:
    if ground.fitted("part.fan"):
        yield LayoutRow("M950 F0", "")
        yield from (LayoutRow("M950 F0", key) for key in "CQK")
        yield from (LayoutRow("M106 P0", key) for key in "LBI")
        yield LayoutRow("M106 P0", "C", '"Part fan"')
    for n in ground.numbers("hotend"):
        if ground.fitted(f"hotend{n or ''}.fan"):
            make, drive = f"M950 F{n + 1}", f"M106 P{n + 1}"
            yield LayoutRow(make, "")
            yield from (LayoutRow(make, key) for key in "CQK")
            yield LayoutRow(drive, "H", str(n + 1))
            yield from (LayoutRow(drive, key) for key in "STI")
            yield LayoutRow(drive, "C", '"Hot-end fan"')


def _probe(ground: Ground) -> Iterator[LayoutRow]:
    wired = ground.trace.find("probe.signal")
    if wired is None:
        return
    kind = wired.part.probe_kind
    if kind not in _PROBES:
        raise CannotSpellError(f"the gcode style has no number for a probe of kind {kind!r}")
    if ground.fitted("probe.servo"):
        yield LayoutRow("M950 S0", "C")
    yield LayoutRow("M558", "P", _PROBES[kind], wired.part.title or wired.part.id)
    yield LayoutRow("M558", "C")
