"""Section style: one file, to be included in the machine's own."""

from collections.abc import Iterable, Iterator, Mapping

from pincheck.model.claim import PinValue
from pincheck.model.path import Wired
from pincheck.sensors import fitted, hot_c, spellings
from pincheck.styles.layout import Ground, Layout, LayoutRow, ReferenceLine, by_section
from pincheck.styles.step import CannotSpellError

_PROBES = {
    "servo-deployed": ("bltouch", "pin_up_touch_mode_reports_triggered", "True"),
    "fixed": ("probe", "deactivate_on_each_sample", "False"),
    "": ("probe", "deactivate_on_each_sample", "False"),
}
"""Section of each kind of probe, with a setting of its own at the firmware's usual value."""

_HEATED = ("heater_pin", "sensor_pin", "sensor_type", "pullup_resistor", "inline_resistor",
           "rtd_nominal_r",
           "rtd_reference_r", "min_temp", "max_temp", "min_extrude_temp", "max_power")  # fmt: skip
_VERIFIED = ("max_error", "check_gain_time", "hysteresis", "heating_gain")
_FAN = ("pin", "heater", "heater_temp", "fan_speed", "kick_start_time", "off_below", "cycle_time",
        "hardware_pwm", "tachometer_pin", "tachometer_ppr", "tachometer_poll_interval")  # fmt: skip

_YOURS = (
    ("extruder", "microsteps, rotation_distance, nozzle_diameter, filament_diameter, control and "
     "its figures"),
    ("heater_bed", "control and its figures"),
    ("heater_generic", "control and its figures"),
    ("stepper_", "microsteps, rotation_distance, position_endstop, position_min, position_max, "
     "speeds of homing"),
    ("bltouch", "x_offset, y_offset, z_offset"),
    ("probe", "x_offset, y_offset, z_offset"),
    ("controller_fan", "stepper"),
)  # fmt: skip
"""What the wiring does not tell of a section, by how its name begins."""

_ONE_OF = (
    *("bltouch", "probe", "filament_switch_sensor", "filament_motion_sensor", "heater_fan"),
    *("fan_generic", "controller_fan", "temperature_fan", "output_pin"),
)


class SectionLayout(Layout):
    """See `Layout`."""

    __slots__ = ()
    files = ("reference.cfg",)
    mark = "#"
    use = (
        "Include this file below all sections of yours, above the block that the firmware saved: "
        "sections of one name add up, and of two lines for one key the later counts. Included at "
        "the top, your old lines win."
    )
    fan_hz = 100.0  # stock value, from memory

    def rows(self, ground: Ground) -> Iterator[LayoutRow]:
        """Yield every line that the file may have, in its order.

        Raises:
            CannotSpellError: the probe is of no known kind, or a second chip has no name.
        """
        yield from _rows(ground)

    def goes(self, ground: Ground, said: Mapping[str, str]) -> Iterator[str]:
        del ground, said
        listed = ", ".join(f"[{name}]" for name in _ONE_OF)
        yield (
            f"Sections of yours that must go: those of other names on a pin that stands here, such "
            f"as a second one of {listed}. The firmware does not start with a pin used twice."
        )

    def needs(self, drivers: Iterable[str], chips: Iterable[str]) -> Iterator[str]:
        if listed := ", ".join(f"[{it} ...]" for it in sorted(drivers)):
            yield f"How to reach the drivers stays in the sections of yours: {listed}."
        for name in list(chips)[:1]:
            yield f"Needs a section of yours that says how to reach it: [mcu {name}]."

    def line(self, line: ReferenceLine) -> str:
        return f"{line.key}: {line.text}"

    def where(self, section: str) -> str:
        return f"[{section}] "

    def plain(self, lines: Iterable[ReferenceLine]) -> Iterator[str]:
        for name, own in by_section(lines):
            yield f"[{name}]"
            yield from super().plain(own)

    def body(self, lines: Iterable[ReferenceLine]) -> Iterator[str]:
        for name, own in by_section(lines):
            yield f"\n[{name}]"
            yield from (self.beside(line) for line in own if line.key)
            if left := next((keys for start, keys in _YOURS if name.startswith(start)), ""):
                yield from self.remarks(f"yours, and not here: {left}")


def _rows(ground: Ground) -> Iterator[LayoutRow]:
    for role, board in ground.other_chips().items():
        if not ground.names_of(board):
            raise CannotSpellError(
                f"the {ground.name(role)} hangs on {ground.assembly.boards[board].title}, and the "
                f"assembly binds no name to its chip: add one under [chips]"
            )
    for n in ground.numbers("hotend"):
        name = f"extruder{n or ''}"
        yield from _motor(ground, name, f"extruder{n or ''}.motor")
        yield from _heated(ground, name, f"hotend{n or ''}.sensor")
        yield from (LayoutRow(f"verify_heater {name}", key) for key in _VERIFIED)
    yield from _heated(ground, "heater_bed", "bed.sensor")
    yield from (LayoutRow("verify_heater heater_bed", key) for key in _VERIFIED)
    for n in ground.own_pins("chamber", "sensor"):
        heated = n in ground.numbers("chamber")
        name, kind = f"chamber{n or ''}", "heater_generic" if heated else "temperature_sensor"
        yield from _heated(ground, f"{kind} {name}", f"chamber{n or ''}.sensor")
        yield from (LayoutRow(f"verify_heater {name}", key) for key in _VERIFIED if heated)
    yield from (LayoutRow("fan", key) for key in _FAN)
    for n in ground.numbers("hotend"):
        yield from (LayoutRow(f"heater_fan hotend_fan{n or ''}", key) for key in _FAN)
    yield from _probe(ground)
    for axis in "xyz":
        yield from _motor(ground, f"stepper_{axis}", f"{axis}.motor")
        yield LayoutRow(f"stepper_{axis}", "endstop_pin")
    if ground.fitted("filament.sensor"):
        name = "filament_switch_sensor filament"
        yield LayoutRow(name, "switch_pin")
        yield LayoutRow(name, "pause_on_runout", "True", "a print without filament stops")


def _heated(ground: Ground, section: str, role: str) -> Iterator[LayoutRow]:
    word, why = ground.converter_word(role), "digital converter"
    wired = ground.trace.find(role)
    if wired and (points := _own_table(wired)):
        word, why = role.replace(".", "_"), "described in a section of its own"
        for number, (temp_c, ohm) in enumerate(points, 1):
            title = wired.part.title or wired.part.id
            yield LayoutRow(f"thermistor {word}", f"temperature{number}", f"{temp_c:g}", title)
            yield LayoutRow(f"thermistor {word}", f"resistance{number}", f"{ohm:.6g}")
    place = ground.homes.get(role)
    for key in _HEATED:
        if word and key == "sensor_type":
            yield LayoutRow(section, key, word, why)
        elif key == "sensor_pin" and place and section.startswith("temperature_sensor "):
            # a sensor without a pin is none of the tool head's
            text = ground.spell(PinValue(place.pin, place))
            yield LayoutRow(section, key, text, f"leads to the {ground.name(role)}")
        else:
            yield LayoutRow(section, key)


def _own_table(wired: Wired) -> tuple[tuple[float, float], ...]:
    """Return three points, in C and ohm, of a thermistor that the style has no word for."""
    part, hot = fitted(wired.part), hot_c(wired.role)
    if not part or not part.curve or part.kind != "ntc" or not wired.path.pullups:
        return ()
    if spellings("section", part, hot_c=hot):
        return ()
    top_c = min(part.curve.high_c, hot)
    return tuple((at, part.curve.ohm(at)) for at in (25.0, round((25.0 + top_c) / 2), top_c))


def _motor(ground: Ground, section: str, role: str) -> Iterator[LayoutRow]:
    yield LayoutRow(section, "step_pin")
    for kind, pin in ground.driver_pins(role):
        if kind == "dir":
            yield LayoutRow(
                section, "dir_pin", pin, "put ! before it if the motor turns the wrong way"
            )
        else:
            yield LayoutRow(section, "enable_pin", f"!{pin}", "drivers are on while it is low")
    chip = ground.driver_type(role)
    if chip and ground.current_a(role):
        name = f"{chip} {section}"
        yield LayoutRow(name, "")
        yield from (LayoutRow(name, key) for key in ("run_current", "sense_resistor"))


def _probe(ground: Ground) -> Iterator[LayoutRow]:
    wired = ground.trace.find("probe.signal")
    if wired is None:
        return
    kind = wired.part.probe_kind
    if kind not in _PROBES:
        raise CannotSpellError(f"the section style has no section for a probe of kind {kind!r}")
    name, key, text = _PROBES[kind]
    yield from (LayoutRow(name, pin) for pin in ("pin", "sensor_pin", "control_pin"))
    yield LayoutRow(name, key, text, wired.part.title or wired.part.id)
