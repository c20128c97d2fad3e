"""`pin-claimed-twice`."""

import pytest

from pincheck.check import judge
from pincheck.model.finding import Severity
from pincheck.model.reading import Reading
from pincheck.rules.registry import rules

DANGER, FAULT = Severity.DANGER, Severity.FAULT


def test_the_claim_whose_part_is_elsewhere_is_moved(machine, pin):
    case = machine({("part.fan", "pin"): pin("PB6")})
    result = judge(case, Reading("define", (), ()), rules())
    assert [finding.rule for finding in result.findings] == ["pin-claimed-twice"]
    found = result.findings[0]
    assert [claim.role for claim in found.claims] == ["part.fan", "hotend.fan"]
    assert found.message.startswith(
        "PB6 is claimed for the part fan and for the hot-end fan (made:10); the part fan is wired "
        "to PB8"
    )
    assert [(c.role, c.value.place.pin) for c in found.changes] == [("part.fan", "PB8")]


def test_a_function_without_a_part_on_a_used_pin(machine, ask, pin):
    found = ask("pin-claimed-twice", machine({("controller.fan", "pin"): pin("PB6")})).finding
    assert "the board fan is not in the wiring" in found.message
    assert not found.changes


def test_two_functions_without_parts_are_named_once(machine, ask, pin):
    spots = {("controller.fan", "pin"): pin("PB7"), ("aux.output", "pin"): pin("PB7")}
    assert ask("pin-claimed-twice", machine(spots)).finding.role == "aux.output"


def test_of_two_claims_with_no_part_there_the_one_wired_elsewhere_is_named(machine, ask, pin):
    spots = {("probe.signal", "pin"): pin("PB14"), ("aux.output", "pin"): pin("PB14")}
    found = ask("pin-claimed-twice", machine(spots)).finding
    assert found.role == "probe.signal"
    assert "the probe signal is wired to PB1" in found.message
    assert [(c.role, c.value.place.pin) for c in found.changes] == [("probe.signal", "PB1")]


def test_a_heater_watched_by_another_heaters_sensor_is_a_danger(machine, ask, pin):
    found = ask("pin-claimed-twice", machine({("hotend.sensor", "pin"): pin("PC4")})).finding
    assert found.severity is Severity.DANGER


def test_near_miss_an_end_stop_may_share_the_probes_pin(machine, ask, pin):
    case = machine({("z.endstop", "pin"): pin("PB1")})
    assert not ask("pin-claimed-twice", case).findings


def test_quiet_when_every_role_has_its_own(machine, ask):
    assert not ask("pin-claimed-twice", machine()).findings


@pytest.mark.parametrize(
    ("style", "file", "old", "new", "severity", "words"),
    [
        ("section", "machine.cfg", "dir_pin: !PA5", "dir_pin: PC8", DANGER, "direction of a motor"),
        ("section", "machine.cfg", "uart_pin: PB15", "uart_pin: PC5", DANGER, "a serial line"),
        ("section", "machine.cfg", "[mcu]", "[display]\ncs_pin: PB6\n[mcu]", FAULT, "chip select"),
        ("section", "machine.cfg", "[mcu]", "[gcode_button b]\npin: PC3\n[mcu]", FAULT, "a button"),
        ("section", "toolhead.cfg", "[fan]", "[fan]\ntachometer_pin: PB1", DANGER, "part fan's"),
        ("define", "machine.h", "#define EXTRUDERS 1", "#define BEEPER_PIN PC8", DANGER, "beeper"),
        ("define", "machine.h", "#define EXTRUDERS 1", "#define X_CS_PIN PA8", DANGER, "select"),
        ("gcode", "toolhead.g", 'F1 C"fan0"', 'F1 C"fan0+^temp0"', DANGER, "fan's tachometer"),
        ("gcode", "config.g", "; Mesh", 'M955 P0 C"fil0+pc9"', FAULT, "a chip select"),
    ],
)  # fmt: skip
def test_whoever_the_second_user_is_its_line_is_the_wrong_one(
    demo, style, file, old, new, severity, words
):
    result = demo(style, (file, old, new))
    (found,) = (f for f in result.findings if f.rule == "pin-claimed-twice")
    assert found.severity is severity
    assert words in found.message
    line = next(s for s in result.reading.sources if s.name == found.span.source)
    assert line.line(found.span.line) in new.splitlines() or new in line.line(found.span.line)


def test_near_miss_what_may_share_a_pin(demo):
    """A stall signal on the end stop's pin, one enabling of two drivers, and an override."""
    override = "[duplicate_pin_override]\npins: PC3\n[gcode_button b]\npin: PC3\n[mcu]"
    result = demo(
        "section",
        ("machine.cfg", "enable_pin: !PB12", "enable_pin: !PB2"),
        ("boards/heron-2.toml", 'enable_pin = "PB12"\n', ""),
        ("machine.cfg", "uart_pin: PB15", "uart_pin: PB15\ndiag_pin: ^PC1"),
        ("machine.cfg", "[mcu]", override),
    )
    assert not result.findings


def test_a_line_of_unknown_duty_may_be_meant_for_the_part_that_hangs_there(demo):
    fork = ("toolhead.cfg", "[bltouch]\nsensor_pin", "[fork_probe]\nsensor_pin")
    result = demo("section", fork)
    assert not [f for f in result.findings if f.rule == "pin-claimed-twice"]


BOARDS_FAN = "[controller_fan boards]\npin: {}\n\n[fan_generic exhaust]\npin: PB10\n"
PLUG = """[connectors.{0}]
pitch_mm = 2.5
keyed = true
contact_a = 3.0
pins = ["24V", "{0}"]
"""
FAN3 = """[nets.FAN3]
chip_pin = "PB10"
switch = { side = "low", max_a = 1.0, rds_on_mohm = 50.0, flyback = true }
"""
FIT = '[fit.{0}]\nrole = "{0}.fan"\nat = "main.{1}"\npart = "fan-24v-0a1"\n\n'


@pytest.mark.parametrize(("pin", "told"), [("PB10", True), ("PB7", False)])
def test_two_sections_of_fans_on_one_pin(demo, pin, told):
    """The one whose part hangs elsewhere is wrong, and its edit takes no further section."""
    board, bed, plate = "boards/heron-2.toml", "[connectors.bed]", "[fit.bed_plate]"
    fits = FIT.format("controller", "FAN1") + FIT.format("aux", "FAN3")
    result = demo(
        "section",
        ("machine.cfg", "[stepper_z]", f"{BOARDS_FAN.format(pin)}\n[stepper_z]"),
        ("machine.cfg", "dir_pin: PB10", "dir_pin: PC9"),
        (board, 'dir_pin = "PB10"', 'dir_pin = "PC9"'),
        (board, "[nets.FAN2]", f"{FAN3}\n[nets.FAN2]"),
        (board, bed, f"{PLUG.format('FAN1')}\n{PLUG.format('FAN3')}\n{bed}"),
        ("marsh-230-c.toml", plate, f"{fits}{plate}"),
    )
    assert [(f.rule, f.role) for f in result.findings] == [
        ("pin-claimed-twice", "controller.fan")
    ] * told
    told_of = "is claimed for the board fan and for the extra fan"
    assert all(told_of in f.message for f in result.findings)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("#define SDSS PA8", "a chip select"),
        ("#define LCD_PINS_EN PA8", "the display"),
        ("#define BTN_EN1 PA8", "the display"),
        ("#define BEEPER_PIN PA8", "a beeper"),
        ("#define SDSS PC13", ""),
        ("#define SPINDLE_LASER_PWM_PIN PA8", ""),
    ],
)
def test_a_display_in_the_boards_own_header_on_the_pin_of_a_heater(demo, line, told):
    """What else such a header names may be an offer that nothing takes up."""
    header = f"#define X_STEP_PIN PA4\n{line}\n#define SDSUPPORT"
    found = demo("define", ("machine.h", "#define SDSUPPORT", header)).findings
    assert [(f.rule, f.severity, f.role) for f in found] == [
        ("pin-claimed-twice", DANGER, "bed.heater")
    ] * bool(told)
    assert all(f"is taken for {told}" in f.message for f in found)


SECOND = "[fan_generic second]\npin: PB8\n\n[heater_fan hotend_fan]"
ALLOWED = ("machine.cfg", "[idle_timeout]", "[duplicate_pin_override]\npins: PB8\n\n[idle_timeout]")


def test_a_second_fan_of_one_pin_unless_the_files_allow_it(demo):
    second = ("toolhead.cfg", "[heater_fan hotend_fan]", SECOND)
    (found,) = demo("section", second).findings
    assert (found.rule, found.severity, found.role) == ("pin-claimed-twice", FAULT, "aux.fan")
    assert not demo("section", ALLOWED).findings


def test_scripts_let_no_second_fan_have_the_pin(scripts):
    (found,) = scripts((';M950 F2 C"fan1"', 'M950 F2 C"fan2"')).findings
    assert (found.rule, found.claims[0].setting.section) == ("pin-claimed-twice", "M950 F2")
