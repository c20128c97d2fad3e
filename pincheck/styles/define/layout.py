"""Define style: a main header and an advanced one."""

from collections.abc import Iterable, Iterator, Mapping

from attrs import evolve

from pincheck.model.path import Wired
from pincheck.sensors import fitted, hot_c, letters, spellings
from pincheck.styles.define.renamed import NEWER, today
from pincheck.styles.layout import Ground, Layout, LayoutRow, ReferenceLine, keys
from pincheck.styles.step import CannotSpellError

MAIN, ADVANCED = "machine.h", "machine_adv.h"
_PROBES = {"servo-deployed": "BLTOUCH", "fixed": "FIX_MOUNTED_PROBE", "": "FIX_MOUNTED_PROBE"}
_OWN_TABLE = "1000"
_HIT_STATE = {"false": "HIGH", "true": "LOW"}
_AGAINST = ("BLTOUCH", "FIX_MOUNTED_PROBE", "PROBE_MANUALLY", "NOZZLE_AS_PROBE",
            "SENSORLESS_PROBING", "Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN",
            "USE_PROBE_FOR_Z_HOMING", "FAN_SOFT_PWM", "FAST_PWM_FAN")  # fmt: skip
"""Switches that stock headers may have on, each of which changes what the lines here mean."""


class DefineLayout(Layout):
    """See `Layout`."""

    __slots__ = ()
    files = (MAIN, ADVANCED)
    mark = "//"
    use = (
        "Put each line in the place of the one of its name: those of machine.h in the main header, "
        "those of machine_adv.h in its companion. A second line of one name does not build, and in "
        "another header it counts for nothing. Yours, and not here: DEFAULT_AXIS_STEPS_PER_UNIT, "
        "bed size and ends of the axes, NOZZLE_TO_PROBE_OFFSET, the figures of PID, speeds."
    )
    # stock values, from memory
    overshoot_c = {"hotend": 15.0, "bed": 10.0}
    shares_protection = True

    def rows(self, ground: Ground) -> Iterator[LayoutRow]:
        """Yield every line that the two headers may have, in their order.

        Raises:
            CannotSpellError: a part hangs on a second chip, or the probe is of no known kind.
        """
        _require_one_chip(ground)
        for file, rows in ((MAIN, _main(ground)), (ADVANCED, _advanced(ground))):
            yield from (evolve(row, file=file) for row in rows)

    def newer(self, line: ReferenceLine) -> ReferenceLine:
        key = today(line.key)
        text = _HIT_STATE[line.text] if key.endswith(NEWER) and key != line.key else line.text
        return evolve(line, key=key, text=text)

    def goes(self, ground: Ground, said: Mapping[str, str]) -> Iterator[str]:
        """Yield the switches that contradict these keys, and what the board's header sets again.

        A board's own pins are read after both headers.
        """
        gone = [key for key in _AGAINST if key not in said]
        yield f"Lines of yours that must go: {', '.join(gone)}."
        board = ground.assembly.boards[ground.assembly.main]
        stock = board.stock_pins.items()
        pins = ((key, said.get(today(key), said.get(key, pin)), pin) for key, pin in stock)
        if again := ", ".join(f"{key} {pin}" for key, mine, pin in pins if mine != pin):
            yield (
                f"The pins header of {board.title} is read after these and says something else: "
                f"take out there {again}."
            )

    def line(self, line: ReferenceLine) -> str:
        return f"#define {super().line(line)}".rstrip()

    def body(self, lines: Iterable[ReferenceLine]) -> Iterator[str]:
        yield "#pragma once"
        yield from super().body(lines)


def _heading(text: str) -> LayoutRow:
    return LayoutRow("", "", why=text)


def _require_one_chip(ground: Ground) -> None:
    for role, board in ground.other_chips().items():
        raise CannotSpellError(
            f"the define style knows the pins of one chip only, and the {ground.name(role)} hangs "
            f"on {ground.assembly.boards[board].title}, which has a chip of its own"
        )


_DRIVES = (("extruder.motor", "E0"), *((f"{axis.lower()}.motor", axis) for axis in "XYZ"))
_DRIVE_WHY = {"dir": "direction, driver's pin", "enable": "switches the driver on"}
_STOP_NAMES = {
    "x.endstop": "XMIN",
    "y.endstop": "YMIN",
    "z.endstop": "ZMIN",
    "probe.signal": "ZMIN_PROBE",
}


def _main(ground: Ground) -> Iterator[LayoutRow]:
    board, hotends = ground.assembly.boards[ground.assembly.main], ground.numbers("hotend")
    if not board.identifiers:
        raise CannotSpellError(
            f"nobody says by which name the define style knows {board.title}: add what MOTHERBOARD "
            f'is set to as identifiers = ["BOARD_..."] to its file'
        )
    yield _heading("Mainboard")
    yield LayoutRow("", "MOTHERBOARD", board.identifiers[0], board.title)
    yield LayoutRow("", "EXTRUDERS", str(max(1, len(hotends))), "hot ends fitted")
    yield _heading("Temperature sensors")
    for role, name in _measured(ground):
        yield LayoutRow("", f"TEMP_SENSOR_{name}", *_table(ground, role))
    for _, name in _measured(ground):
        yield from keys("", f"TEMP_{name}_PIN TEMP_{name}_CS_PIN")
    yield _heading("Heaters and their limits")
    for n in hotends:
        yield from keys("", "HEATER_{n}_PIN HEATER_{n}_INVERTING HEATER_{n}_MAXTEMP "
                            "HEATER_{n}_MINTEMP".replace("{n}", str(n)))  # fmt: skip
    for group in ("BED", "CHAMBER"):
        yield from keys("", f"HEATER_{group}_PIN HEATER_{group}_INVERTING {group}_MAXTEMP "
                            f"{group}_MINTEMP")  # fmt: skip
    yield from keys("", "HOTEND_OVERSHOOT BED_OVERSHOOT")
    if hotends:
        yield LayoutRow(
            "", "PIDTEMP", "", "control of the hot end; tune its figures on the machine"
        )
        yield LayoutRow("", "BANG_MAX")
        yield LayoutRow("", "PID_MAX", "BANG_MAX", "near the target, as far from it")
        yield LayoutRow("", "PREVENT_COLD_EXTRUSION", "", "switches the next line on")
    yield from keys("", "EXTRUDE_MINTEMP MAX_BED_POWER THERMAL_PROTECTION_HOTENDS "
                        "THERMAL_PROTECTION_BED THERMAL_PROTECTION_CHAMBER")  # fmt: skip
    yield _heading("Part fans")
    yield from keys("", f"FAN_PIN {' '.join(f'FAN{n}_PIN' for n in range(1, 8))} FAN_INVERTING")
    yield from _probe(ground)
    yield from _stops(ground)
    yield _heading("Drivers")
    for role, name in _DRIVES:
        if chip := ground.driver_type(role):
            yield LayoutRow("", f"{name}_DRIVER_TYPE", chip.upper(), "the driver's chip")


def _measured(ground: Ground) -> Iterator[tuple[str, str]]:
    """Yield role and name of every temperature sensor."""
    yield from ((f"hotend{n or ''}.sensor", str(n)) for n in ground.numbers("hotend"))
    yield from ((f"{name.lower()}.sensor", name) for name in ("BED", "CHAMBER", "PROBE", "BOARD"))


def _table(ground: Ground, role: str) -> tuple[str | None, str]:
    """Return the numbered table that goes with part and pull-up, or the user's own, and why."""
    wired = ground.trace.find(role)
    name = wired and (wired.part.title or wired.part.id)
    if name and (word := ground.converter_word(role)):
        return word, name
    part = wired and fitted(wired.part)
    if not wired or not part or not wired.path.pullups:
        return None, ""
    pullup_ohm = wired.path.pullups[0].ohm
    if known := spellings("define", part, pullup_ohm, hot_c(role)):
        return known[0], f"{name} on {pullup_ohm:g} ohm"
    if _own_table(wired):
        return _OWN_TABLE, f"{name} on {pullup_ohm:g} ohm, by figures in {ADVANCED}"
    return None, ""


def _own_table(wired: Wired | None) -> tuple[float, float, float] | None:
    """Return R25, beta and C of a thermistor that no numbered table with its pull-up describes."""
    part = wired and fitted(wired.part)
    if not wired or not part or not wired.path.pullups:
        return None
    if spellings("define", part, wired.path.pullups[0].ohm, hot_c(wired.role)):
        return None
    return letters(part, hot_c(wired.role))


def _probe(ground: Ground) -> Iterator[LayoutRow]:
    wired = ground.trace.find("probe.signal")
    if wired is None:
        return
    kind = wired.part.probe_kind
    if kind not in _PROBES:
        raise CannotSpellError(f"the define style has no name for a probe of kind {kind!r}")
    yield _heading("Probe")
    yield LayoutRow("", _PROBES[kind], "", wired.part.title or wired.part.id)
    yield from keys("", "USE_PROBE_FOR_Z_HOMING Z_MIN_PROBE_PIN Z_MIN_PROBE_ENDSTOP_INVERTING")
    if ground.fitted("probe.servo"):
        yield LayoutRow("", "NUM_SERVOS", "1", "the one that deploys the probe")
        yield from keys("", "Z_PROBE_SERVO_NR SERVO0_PIN")


def _stops(ground: Ground) -> Iterator[LayoutRow]:
    yield _heading("End stops and filament")
    inputs = ground.inputs
    # the one key for all of them would pull a line up that must be pulled down
    apart = any(wired.signal.needs_pull == "down" for wired in inputs)
    yield LayoutRow("", "ENDSTOPPULLUPS")
    for wired in inputs if apart else ():
        pull, end = ground.pull_needed(wired), _STOP_NAMES.get(wired.role)
        if pull and end:
            yield LayoutRow(
                "", f"ENDSTOPPULL{pull.upper()}_{end}", "", f"nothing else pulls it {pull}"
            )
    for axis in "XYZ":
        if axis == "Z" or ground.fitted(f"{axis.lower()}.endstop"):
            yield LayoutRow("", f"{axis}_HOME_DIR", "-1", "assumed: homes to its low end")
        yield from keys("", f"{axis}_MIN_PIN {axis}_MIN_ENDSTOP_INVERTING")
    if ground.fitted("filament.sensor"):
        yield LayoutRow("", "FILAMENT_RUNOUT_SENSOR", "", "switches the next lines on")
        yield LayoutRow("", "FIL_RUNOUT_ENABLED_DEFAULT", "true", "on from the start")
        yield LayoutRow("", "NUM_RUNOUT_SENSORS", "1", "the one that is fitted")
        yield from keys("", "FIL_RUNOUT_PIN FIL_RUNOUT_STATE FIL_RUNOUT_PULLUP")


def _advanced(ground: Ground) -> Iterator[LayoutRow]:
    for role, name in _measured(ground):
        wired = ground.trace.find(role)
        if wired and (found := _own_table(wired)):
            stem = f"HOTEND{name}" if name.isdigit() else name
            yield _heading(f"{wired.part.title or wired.part.id}, by figures")
            yield LayoutRow("", f"{stem}_PULLUP_RESISTOR_OHMS")
            yield LayoutRow("", f"{stem}_RESISTANCE_25C_OHMS", f"{found[0]:g}", "at 25 C")
            yield LayoutRow("", f"{stem}_BETA", f"{found[1]:g}", wired.part.title)
            if found[2]:
                yield LayoutRow("", f"{stem}_SH_C_COEFF", f"{found[2]:g}", wired.part.title)
    yield _heading("Thermal protection")
    yield from keys("", "THERMAL_PROTECTION_PERIOD THERMAL_PROTECTION_HYSTERESIS "
                        "THERMAL_PROTECTION_BED_PERIOD THERMAL_PROTECTION_BED_HYSTERESIS "
                        "WATCH_TEMP_PERIOD WATCH_TEMP_INCREASE "
                        "WATCH_BED_TEMP_PERIOD WATCH_BED_TEMP_INCREASE")  # fmt: skip
    yield _heading("Fans")
    cooled = [n for n in ground.numbers("hotend") if ground.fitted(f"hotend{n or ''}.fan")]
    for key in ("AUTO_FAN_PIN", "FAN_TACHO_PIN", "FAN_TACHO_PULLUP"):
        yield from keys("", " ".join(f"E{n}_{key}" for n in cooled))
    # without it a reader cannot tell that the advanced header was handed over at all
    unused = ("50", "no hot-end fan is fitted") if not cooled else (None, "")
    yield LayoutRow("", "EXTRUDER_AUTO_FAN_TEMPERATURE", *unused)
    for n in ground.own_pins("controller", "fan")[:2]:
        yield LayoutRow("", "USE_CONTROLLER_FAN", "", "turns while motors are on")
        yield LayoutRow("", f"CONTROLLER_FAN{n + 1 if n else ''}_PIN")
    yield LayoutRow("", "CHAMBER_AUTO_FAN_PIN")
    yield from keys("", "EXTRUDER_AUTO_FAN_SPEED FAST_PWM_FAN FAST_PWM_FAN_FREQUENCY FAN_MIN_PWM "
                        "FAN_KICKSTART_TIME")  # fmt: skip
    yield _heading("Motors")
    for role, name in _DRIVES:
        yield from keys("", f"{name}_CURRENT {name}_RSENSE {name}_STEP_PIN")
        for kind, pin in ground.driver_pins(role):
            yield LayoutRow("", f"{name}_{kind.upper()}_PIN", pin, _DRIVE_WHY[kind])
