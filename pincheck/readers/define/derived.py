"""Names that firmware of the define style works out itself, from settings that users do write.

Headers keep motor currents and amplifier figures behind such names (common practice; the lists
are from memory). A name is worked out only where no file says a word of it.
"""

import re
from collections.abc import Callable, Iterable

from pincheck.readers.define.calls import Truth, some

SettingText = Callable[[str], str | None]
"""A setting's text, `1` for one without: empty where it is certainly not set, None where nobody
knows."""

_SPI_AND_SERIAL = ("TMC2130", "TMC2160", "TMC2208", "TMC2209", "TMC2240", "TMC2660", "TMC26X",
    "TMC5130", "TMC5160")  # fmt: skip
_AMPLIFIED = ("-2", "-3", "-5")
_KINDS = {
    "MAX_TC": _AMPLIFIED,
    "MAX6675": ("-2",),
    "MAX31855": ("-3",),
    "MAX31865": ("-5",),
    "AD8495": ("-4",),
    "AD595": ("-1",),
    "CUSTOM": ("1000",),
    "DUMMY": ("998", "999"),
}
_KIND = re.compile(
    rf"(?:TEMP_SENSOR|HEATER)_(?P<which>\d|BED|CHAMBER|PROBE)_(?:IS|USES)_(?P<kind>{'|'.join(_KINDS)})"
)
_TYPE = "_DRIVER_TYPE"


def _is(text: str | None, wanted: Iterable[str]) -> Truth:
    return None if text is None else text in wanted


def _axis_is_tmc(names: list[str], text: SettingText, _: Iterable[str]) -> Truth:
    return some(_is(text(f"{name}{_TYPE}"), _SPI_AND_SERIAL) for name in names)


def _has_driver(names: list[str], text: SettingText, mentioned: Iterable[str]) -> Truth:
    types = [name for name in mentioned if name.endswith(_TYPE)]
    return some(_is(text(name), names) for name in types) if types else None


def _has_tmc(_: list[str], text: SettingText, mentioned: Iterable[str]) -> Truth:
    return _has_driver(list(_SPI_AND_SERIAL), text, mentioned)


def _is_amplified(names: list[str], text: SettingText, _: Iterable[str]) -> Truth:
    return some(_is(text(f"TEMP_SENSOR_{name}"), _AMPLIFIED) for name in names)


def _is_board(names: list[str], text: SettingText, _: Iterable[str]) -> Truth:
    board = text("MOTHERBOARD")
    if not board or not board.startswith("BOARD_"):
        return None
    return board.removeprefix("BOARD_") in names


CALLS: dict[str, Callable[[list[str], SettingText, Iterable[str]], Truth]] = {
    "AXIS_IS_TMC": _axis_is_tmc,
    "AXIS_IS_TMC_CONFIG": _axis_is_tmc,
    "HAS_DRIVER": _has_driver,
    "MB": _is_board,
    "TEMP_SENSOR_IS_MAX_TC": _is_amplified,
}
"""Calls by name; each gets its arguments, what settings say, and every name in the files."""


def _several(_: list[str], text: SettingText, __: Iterable[str]) -> Truth:
    count = text("EXTRUDERS")
    return int(count) > 1 if count and count.isdecimal() else None


def _several_nozzles(_: list[str], text: SettingText, mentioned: Iterable[str]) -> Truth:
    if not (several := _several([], text, mentioned)):
        return several
    # Each of these lets several extruders feed one nozzle.
    return True if all(text(name) == "" for name in ("SINGLENOZZLE", "MIXING_EXTRUDER")) else None


def _has_bed(_: list[str], text: SettingText, __: Iterable[str]) -> Truth:
    table = text("TEMP_SENSOR_BED")
    return None if table is None else table not in ("", "0")


def _on(text: SettingText, mentioned: Iterable[str], *names: str) -> Truth:
    """Return whether one of several switches is on.

    The two headers alone decide it: where the main one is there, a switch of which no file says a
    word is off.
    """
    whole = "MOTHERBOARD" in mentioned
    told = ((name, text(name)) for name in names)
    return some(
        None
        if found is None and (name in mentioned or not whole)
        else bool(found) and found not in ("0", "false")
        for name, found in told
    )


_SHARE = ("SINGLENOZZLE", "MIXING_EXTRUDER")
_ODD_DRIVES = (
    "MIXING_EXTRUDER",
    "SWITCHING_EXTRUDER",
    "MECHANICAL_SWITCHING_EXTRUDER",
    "MMU_MODEL",
    "PRUSA_MMU1",
    "PRUSA_MMU2",
    "MK2_MULTIPLEXER",
)
_PROBES = (
    "FIX_MOUNTED_PROBE",
    "NOZZLE_AS_PROBE",
    "BLTOUCH",
    "TOUCH_MI_PROBE",
    "Z_PROBE_ALLEN_KEY",
    "Z_PROBE_SLED",
    "SOLENOID_PROBE",
    "SENSORLESS_PROBING",
    "RACK_AND_PINION_PROBE",
    "MAGLEV4",
    "MAG_MOUNTED_PROBE",
    "BIQU_MICROPROBE_V1",
    "BIQU_MICROPROBE_V2",
    "BD_SENSOR",
)


def _extruders(text: SettingText) -> int | None:
    count = text("EXTRUDERS")
    return int(count) if count and count.isdecimal() else None


def _hotends(_: list[str], text: SettingText, mentioned: Iterable[str]) -> int | None:
    count = _extruders(text)
    if not count or count == 1:
        return count
    if share := _on(text, mentioned, *_SHARE):
        return 1
    return None if share is None else _drives_of_tools([], text, mentioned)


def _has_hotend(_: list[str], text: SettingText, __: Iterable[str]) -> Truth:
    count = _extruders(text)
    return None if count is None else count > 0


def _drives_of_tools(_: list[str], text: SettingText, mentioned: Iterable[str]) -> int | None:
    return _extruders(text) if _on(text, mentioned, *_ODD_DRIVES) is False else None


def _has_amplifier(_: list[str], text: SettingText, __: Iterable[str]) -> Truth:
    sensors = ("0", "1", "2", "BED", "REDUNDANT")
    found = [text(f"TEMP_SENSOR_{name}") for name in sensors]
    if "-5" in found:
        return True
    return None if found[0] is None else False


def _has_probe(_: list[str], text: SettingText, mentioned: Iterable[str]) -> Truth:
    # a servo's number may be 0, so that there is one where the key says anything
    return bool(text("Z_PROBE_SERVO_NR")) or _on(text, mentioned, *_PROBES)


def _has_chamber(_: list[str], text: SettingText, __: Iterable[str]) -> Truth:
    table = text("TEMP_SENSOR_CHAMBER")
    return None if table is None else table not in ("", "0")


def _is_core(plane: str) -> Callable[[list[str], SettingText, Iterable[str]], Truth]:
    names = f"CORE{plane}", f"CORE{plane[::-1]}"
    return lambda _, text, mentioned: _on(text, mentioned, *names)


_NAMES: dict[str, Callable[[list[str], SettingText, Iterable[str]], int | None]] = {
    "HAS_TRINAMIC_CONFIG": _has_tmc,
    "HAS_TRINAMIC": _has_tmc,
    "HAS_MULTI_EXTRUDER": _several,
    "HAS_MULTI_HOTEND": _several_nozzles,
    "HAS_HEATED_BED": _has_bed,
    "HAS_HOTEND": _has_hotend,
    "HOTENDS": _hotends,
    "E_STEPPERS": _drives_of_tools,
    "HAS_MAX31865": _has_amplifier,
    "HAS_BED_PROBE": _has_probe,
    "HAS_TEMP_CHAMBER": _has_chamber,
    "CORE_IS_XY": _is_core("XY"),
    "CORE_IS_XZ": _is_core("XZ"),
    "CORE_IS_YZ": _is_core("YZ"),
}


_FET_ORDER = re.compile(r"(?:FET_ORDER|IS_RAMPS)_(EFB|EEB|EFF|EEF|SF)")


def _drives(order: str, board: str | None) -> Truth:
    """Return whether a board's name ends in this order: E heater, F fan, B bed."""
    named = re.search(r"_(EFB|EEB|EFF|EEF|SF)$", board or "")
    return None if named is None else named[1] == order


def name(word: str, text: SettingText, mentioned: Iterable[str]) -> int | None:
    """Return what a name that stands alone, as a condition, comes to; None for any other name."""
    if work_out := _NAMES.get(word):
        return work_out([], text, mentioned)
    if asks := _KIND.fullmatch(word):
        return _is(text(f"TEMP_SENSOR_{asks['which']}"), _KINDS[asks["kind"]])
    if asks := _FET_ORDER.fullmatch(word):
        return _drives(asks[1], text("MOTHERBOARD"))
    return None
