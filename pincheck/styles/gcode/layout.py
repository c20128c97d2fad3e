"""Gcode style: one script, to be called from the machine's own."""

from collections.abc import Iterable, Iterator, Mapping

from pincheck.model.claim import PinValue
from pincheck.model.role import split
from pincheck.styles.layout import MARK, Ground, Layout, LayoutRow, ReferenceLine, by_section
from pincheck.styles.step import CannotSpellError

_PROBES = {"servo-deployed": "9", "fixed": "8", "": "8"}
_NAMES = {"bed": "Bed", "hotend": "Hot end", "chamber": "Chamber"}
_FANS = {
    "part": "Part fan", "hotend": "Hot-end fan", "controller": "Board fan",
    "chamber": "Chamber fan", "aux": "Fan",
}  # fmt: skip


class GcodeLayout(Layout):
    """See `Layout`."""

    __slots__ = ()
    files = ("reference.g",)
    mark = ";"
    use = (
        'Call this file at the end of the start-up script, with M98 P"reference.g", below its '
        "drives (M569, M584, M350): what is created again starts afresh, so that lines of yours "
        "above it for these sensors, heaters, fans and tools are lost, and those below it win. Put "
        "below it what you tuned: M307, G31, M501. Yours, and not here: M92, M201, M203, M208, "
        "M566, G31, M307."
    )
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

    def goes(self, ground: Ground, said: Mapping[str, str]) -> Iterator[str]:
        del ground, said
        yield (
            "Lines of yours that must go: M308, M950, M106, M143, M570, M563, M558, M574 and M591 "
            "for the same things, and those for other numbers on a pin that stands here."
        )

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
    for n in ground.numbers("bed")[:1]:
        yield from _heated(ground, "bed", n, 0)
    for n in hotends:
        yield from _heated(ground, "hotend", n, n + 1)
    after = max(hotends, default=0) + 2
    for n in ground.own_pins("chamber", "sensor"):
        yield from _heated(ground, "chamber", n, after + n)
    yield LayoutRow("M302", "S")
    fans = _fan_numbers(ground, hotends)
    for role, number in fans.items():
        yield from _fan(role, number)
    for n in ground.own_pins("aux", "output"):
        place = ground.homes[f"aux{n or ''}.output"]
        text = ground.spell(PinValue(place.pin, place))
        yield LayoutRow(f"M950 P{n}", "C", f'"{text}"', "leads to the further output")
    blowers = {n: fans[f"part{n or ''}.fan"] for n in ground.own_pins("part", "fan")}
    for n in hotends:
        tool = f"M563 P{n}"
        yield LayoutRow(tool, "D", str(n), "tool: its extruder, heater and part fan")
        yield LayoutRow(tool, "H", str(n + 1))
        own = (
            blowers.values()
            if len(hotends) == 1
            else (blowers.get(n, min(fans.values(), default=0)),)
        )
        if blowers:
            yield LayoutRow(tool, "F", ":".join(map(str, own)))
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
    if n not in ground.numbers(group):
        return
    yield from (LayoutRow(heater, key) for key in "CQ")
    yield LayoutRow(heater, "T", str(number), "read by the sensor above")
    if group == "bed":
        yield LayoutRow("M140 H0", "", why="heater 0 is the bed's: from here on its limit holds")
    if group == "chamber":
        yield LayoutRow(f"M141 P{n}", "H", str(number), "the heater of the chamber")
    for command, letters in (("M307", "S"), ("M143", "S"), ("M570", "PT")):
        yield from (LayoutRow(f"{command} H{number}", key) for key in letters)


def _fan_numbers(ground: Ground, hotends: tuple[int, ...]) -> Mapping[str, int]:
    """Return the number of each fan by role: the part fan's is 0, then come those of hot ends."""
    found = {"part.fan": 0} if ground.fitted("part.fan") else {}
    cooled = (n for n in hotends if ground.fitted(f"hotend{n or ''}.fan"))
    found |= {f"hotend{n or ''}.fan": n + 1 for n in cooled}
    after = max(hotends, default=0) + 2
    for group in _FANS:
        for n in ground.own_pins(group, "fan"):
            if found.setdefault(f"{group}{n or ''}.fan", after) == after:
                after += 1
    return found


def _fan(role: str, number: int) -> Iterator[LayoutRow]:
    group, n, _ = split(role)
    make, drive = f"M950 F{number}", f"M106 P{number}"
    yield LayoutRow(make, "")
    yield from (LayoutRow(make, key) for key in "CQK")
    if group == "hotend":
        yield LayoutRow(drive, "H", str(n + 1))
        yield from (LayoutRow(drive, key) for key in "STI")
    elif group == "controller":
        yield LayoutRow(drive, "H", "1", "runs while the hot end is warm")
        yield LayoutRow(drive, "T", "45", "warm enough for the drivers to be at work")
        yield LayoutRow(drive, "I")
    else:
        yield from (LayoutRow(drive, key) for key in "LBI")
    yield LayoutRow(drive, "C", f'"{_FANS[group]}{f" {n + 1}" if n else ""}"')


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
