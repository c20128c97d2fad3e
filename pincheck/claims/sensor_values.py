"""Sensors as users name or describe them."""

import math
from collections.abc import Iterator, Mapping

from attrs import evolve

from pincheck.claims.entry import Entry
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.numbers import read_number
from pincheck.claims.pattern import filled, matched
from pincheck.claims.shown import SEEN, all_hold, text_of
from pincheck.model.claim import Lines, SensorValue
from pincheck.model.reading import SensorTable
from pincheck.model.role import split
from pincheck.model.setting import Activity, Setting
from pincheck.sensors import nearest, spelled

_KELVIN = 273.15
_MISSPELT = 0.85
"""From this likeness on a word is a slip of the pen, and none for another sensor."""
_PLATINUM = {100.0: "pt100", 1000.0: "pt1000"}


def read_sensor(
    machine: Interpretation, text: str, own_marks: tuple[str, ...], section: str, role: str
) -> SensorValue:
    """Return the sensor that `text` means.

    `own_marks` are the texts that say "described by figures of its own". The text
    may also name a section that describes the sensor.
    """
    style = machine.style
    pretended = (known := spelled(style.name, text)) is not None and known.fixed_c is not None
    table = machine.reading.tables.get(text)
    if table and not (pretended and table.unknown):
        return _of_table(text, table)
    if text.lower() in own_marks:
        return described(machine, section, role, text)
    figures, doubt, _ = figures_of(machine, section, role)
    if (nominal := figures.get("r0_ohm")) is not None:
        platinum = _PLATINUM.get(nominal, "")
        doubt = doubt or ("" if platinum else f"no platinum sensor has {nominal:g} ohm at 0 C")
        return SensorValue(text, platinum, unknown=doubt)
    if known:
        return SensorValue(text, known.id)
    for kind in style.sensor_sections:
        for setting in machine.shown.in_section(f"{kind} {text}"):
            name = setting.section.partition(" ")[2]
            if name == text:
                return described(machine, setting.section, role, text)
            reason = f"[{setting.section}] is spelt otherwise, and small letters count"
            return SensorValue(text, unknown=reason)
    reason = f"{style.sensor_word} {text!r} is in no list of sensors"
    near = nearest(style.name, text, _MISSPELT) if style.sensor_sections else ""
    return SensorValue(text, unknown=reason, near=near)


def _of_table(text: str, table: SensorTable) -> SensorValue:
    """Return the sensor of a table that was handed over: it counts, whatever is usual."""
    if table.unknown:
        return SensorValue(text, unknown=table.unknown)
    pullup = (("pullup_ohm", table.pullup_ohm),) if table.pullup_ohm else ()
    at = f"{table.file}:{table.span.line}" if table.span else table.file
    return SensorValue(text, figures=(("shares", table.rows), *pullup), at=at)


def described(machine: Interpretation, section: str, role: str, text: str = "") -> SensorValue:
    """Return the sensor that the figures of a section (or of a role's keys) describe."""
    found, doubt, lines = figures_of(machine, section, role)
    value = of_figures(text, found)
    return evolve(value, unknown=value.unknown or doubt, lines=lines)


def of_figures(text: str, found: Mapping[str, float]) -> SensorValue:
    """Return the sensor that figures describe, by their names in the vocabulary."""
    if not found:
        return SensorValue(text, unknown="its figures are in no file that was sent")
    points = tuple(_points(found))
    if "beta_k" in found and points:
        temp_c, ohm = points[0]
        try:
            at_25 = found["beta_k"] * (1 / (_KELVIN + 25) - 1 / (_KELVIN + temp_c))
            r25_ohm = ohm * math.exp(at_25)
        except ArithmeticError:
            return SensorValue(text, unknown="its figures are those of no sensor")
        return SensorValue(text, figures=(("r25_ohm", r25_ohm), ("beta_k", found["beta_k"])))
    if points:
        return SensorValue(text, figures=(("points", points),))
    if any(name.startswith("voltage_") for name in found):
        return SensorValue(text, unknown="it is described by voltages, not by resistances")
    if missing := {"r25_ohm", "beta_k"} - found.keys():
        return SensorValue(text, unknown=f"its figure {min(missing)} is not given")
    return SensorValue(text, figures=tuple(sorted(found.items())))


def _points(found: Mapping[str, float]) -> Iterator[tuple[float, float]]:
    for name, ohm in sorted(found.items()):
        if name.startswith("resistance_"):
            at = name.removeprefix("resistance_")
            if f"temperature_{at}" in found:
                yield found[f"temperature_{at}"], ohm


def figures_of(
    machine: Interpretation, section: str, role: str
) -> tuple[Mapping[str, float], str, Lines]:
    """Return the figures that describe one sensor, why they are not certain, and their lines."""
    if (section, role) not in machine.figures:
        machine.figures[section, role] = _figures_of(machine, section, role)
    return machine.figures[section, role]


def _figures_of(
    machine: Interpretation, section: str, role: str
) -> tuple[dict[str, float], str, Lines]:
    found: dict[str, float] = {}
    doubts: list[str] = []
    lines: dict[str, Setting] = {}
    for entry, groups in _entries(machine, section, role):
        holds, reason = all_hold(machine.shown, entry.needs, section, groups)
        if not holds:
            continue
        for key, text, doubt, setting in _texts(machine, entry, section, groups):
            doubts += filter(None, (reason, doubt))
            at = entry.match(section, key) or {}
            name = entry.figure.replace("{i}", at.get("i", ""))
            try:
                found[name] = read_number(text, entry)
            except ValueError as error:
                doubts.append(f"{key}: {error}")
                continue
            if setting:
                lines[name] = setting
    told = tuple((name, found[name], setting) for name, setting in lines.items())
    return found, doubts[0] if doubts else "", told


def _entries(
    machine: Interpretation, section: str, role: str
) -> Iterator[tuple[Entry, dict[str, str]]]:
    number = str(split(role)[1])
    for entry in machine.vocabulary.figures:
        places = matched(entry.section, section)
        if places is None:
            continue
        groups = {"n": number, **{k: v or "0" for k, v in places.items()}}
        roles = {of for of, _ in machine.roles(entry, groups)}
        described = entry.role.startswith("<described ") and machine.fills(entry, groups)
        if role in roles or described:
            yield entry, groups


def _texts(
    machine: Interpretation, entry: Entry, section: str, groups: Mapping[str, str]
) -> Iterator[tuple[str, str, str, Setting | None]]:
    """Yield key, text, doubt and line of what the files, else the firmware, say of a figure."""
    if "{i}" in entry.key:
        settings = [s for s in machine.shown.in_section(section) if entry.match(section, s.key)]
    else:
        settings = list(machine.shown.of(section, filled(entry.key, groups)))
    seen = {s.key: s for s in settings if s.activity is Activity.ACTIVE}
    for key, setting in seen.items():
        yield key, text_of(setting), _doubt(setting), setting
    for setting in settings:
        if setting.activity is Activity.POSSIBLE:
            doubt = f"{setting.name} holds only if {setting.condition}"
            yield setting.key, text_of(setting), doubt, setting
    if not any(s.activity in SEEN for s in settings) and entry.default is not None:
        yield entry.key, entry.default, "", None


def _doubt(setting: Setting) -> str:
    return setting.unknown if setting.resolved is None else ""
