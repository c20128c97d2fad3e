"""What sections claim."""

from pathlib import Path

import pytest
from applied import claims_of, machine, read

from pincheck import api
from pincheck.claims import claims as claims_from
from pincheck.model.claim import Claims, PinValue, Place, SensorValue, Value
from pincheck.resources import folder
from pincheck.wiring.load import load

CONFIGS = folder("configs")
EXTRUDER = """[extruder]
heater_pin: PC8
sensor_pin: PC5
sensor_type: ATC Semitec 104GT-2
min_temp: 0
max_temp: 255
"""
BED = """[heater_bed]
heater_pin: PA8
sensor_pin: PC4
sensor_type: Generic 3950
max_temp: 115
"""


def value(claims: Claims, role: str, attribute: str) -> Value | None:
    """Return a certain value, None where nothing is claimed."""
    claim = claims.find(role, attribute)
    assert claim is None or not claim.doubt, claim.doubt
    return claim and claim.value


def pin(text: str, name: str = "") -> PinValue:
    """Return a pin without wiring."""
    return PinValue(text, Place("", name or text))


FAN = "[heater_fan hotend_fan]\npin: PB6\n"


@pytest.mark.parametrize(
    ("text", "role", "attribute", "expected"),
    [
        ("", "hotend.heater", "max_c", 255.0),
        ("", "hotend.heater", "max_power", 1.0),
        ("max_power: .5", "hotend.heater", "max_power", 0.5),
        ("", "hotend.sensor", "pullup_ohm", 4700.0),
        ("pullup_resistor: 2200", "hotend.sensor", "pullup_ohm", 2200.0),
        ("", "hotend.heater", "protection", True),
        ("", "hotend.heater", "protection_kind", "accumulated"),
        ("", "hotend.heater", "max_error_ks", 120.0),
        ("", "hotend.heater", "watch_period_s", 20.0),
        (
            "[verify_heater extruder]\nmax_error: 60",
            "hotend.heater",
            "max_error_ks",
            60.0,
        ),
        (BED, "bed.heater", "watch_period_s", 60.0),
        (BED + "pwm_cycle_time: 0.0166", "bed.heater", "pwm_hz", 60.2409638554),
        ("[extruder1]\nheater_pin: PC9\nmax_temp: 300", "hotend1.heater", "max_c", 300.0),
        ("[fan]\npin: !PB8", "part.fan", "pin", pin("!PB8", "PB8")),
        ("[fan]\npin: !PB8", "part.fan", "inverted", True),
        ("[fan]\npin: PB8\ncycle_time: 0.002", "part.fan", "pwm_hz", 500.0),
        ("[fan]\npin: PB8\nhardware_pwm: True", "part.fan", "software_pwm", False),
        ("[fan]\npin: PB8", "part.fan", "software_pwm", True),
        ("[fan]\npin: PB8\noff_below: 0.2", "part.fan", "min_duty", 0.2),
        (FAN, "hotend.fan", "watches", "hotend.heater"),
        (FAN, "hotend.fan", "threshold_c", 50.0),
        (FAN + "heater_temp: 70\nheater: heater_bed", "hotend.fan", "threshold_c", 70.0),
        (BED + FAN + "heater: heater_bed", "hotend.fan", "watches", "bed.heater"),
        (BED + FAN + "heater: heater_bed, extruder", "hotend.fan", "watches", "hotend.heater"),
        ("[heater_fan my_fan]\npin: PB6", "hotend.fan", "pin", pin("PB6")),
        (
            "[heater_fan f]\npin: PB6\nheater: extruder1\n[extruder1]\nheater_pin: PC9",
            "hotend1.fan",
            "pin",
            pin("PB6"),
        ),
        ("[heater_fan mcu_fan]\npin: PB7\n" + FAN, "controller.fan", "pin", pin("PB7")),
        ("[heater_fan other]\npin: PB7\n" + FAN, "aux.fan", "pin", pin("PB7")),
        ("[controller_fan board]\npin: PB7", "controller.fan", "pin", pin("PB7")),
        ("[fan_generic part_left]\npin: PB7", "part.fan", "pin", pin("PB7")),
        ("[fan]\npin: PB8\n[fan_generic part_left]\npin: PB7", "part1.fan", "pin", pin("PB7")),
        ("[fan_generic enclosure_fan]\npin: PB7", "chamber.fan", "pin", pin("PB7")),
        ("[fan_generic thing]\npin: PB7", "aux.fan", "pin", pin("PB7")),
        (
            "[heater_generic chamber_heater]\nheater_pin: PC9\nmax_temp: 60",
            "chamber.heater",
            "max_c",
            60.0,
        ),
        (
            "[temperature_sensor pi]\nsensor_type: temperature_host",
            "board.sensor",
            "table",
            SensorValue("temperature_host", "digital-host"),
        ),
        (
            "[temperature_sensor chamber]\nsensor_type: Generic 3950\nsensor_pin: PC1",
            "chamber.sensor",
            "pin",
            pin("PC1"),
        ),
        (
            "[temperature_fan chamber]\npin: PB7\nsensor_type: Generic 3950\nsensor_pin: PC1",
            "chamber.sensor",
            "pin",
            pin("PC1"),
        ),
        (
            "[temperature_fan mcu]\npin: PB7\nsensor_type: temperature_mcu",
            "board.sensor",
            "table",
            SensorValue("temperature_mcu", "digital-mcu"),
        ),
        ("[probe]\npin: ^!PB1", "probe.signal", "pin", pin("^!PB1", "PB1")),
        ("[probe]\npin: ^!PB1", "probe.signal", "inverted", True),
        ("[probe]\npin: ~PB1", "probe.signal", "pull", "down"),
        ("[probe]\npin: PB1", "probe.signal", "pull", "none"),
        ("[bltouch]\nsensor_pin: ^PB1\ncontrol_pin: PA1", "probe.servo", "pin", pin("PA1")),
        (
            "[bltouch]\nsensor_pin: ^PB1\ncontrol_pin: PA1",
            "probe.signal",
            "probe_kind",
            "servo-deployed",
        ),
        ("[stepper_x]\nendstop_pin: ^!PC0", "x.endstop", "inverted", True),
        ("[stepper_z]\nendstop_pin: PC2", "z.endstop", "homing_pin", pin("PC2")),
        (
            "[stepper_z]\nendstop_pin: probe:z_virtual_endstop",
            "z.endstop",
            "homing_pin",
            PinValue("probe:z_virtual_endstop", virtual=True),
        ),
        ("[stepper_z]\nendstop_pin: probe:z_virtual_endstop", "z.endstop", "pin", None),
        ("[tmc2209 extruder]\nrun_current: 0.65", "extruder.motor", "current_a", 0.65),
        ("[tmc2209 stepper_y]\nrun_current: 0.65", "y.motor", "sense_ohm", 0.11),
        ("[stepper_z1]\nstep_pin: PC2", "z1.motor", "pin", pin("PC2")),
        ("[tmc2209 stepper_z2]\nrun_current: 0.65", "z2.motor", "current_a", 0.65),
        ("[tmc5160 stepper_y]\nrun_current: 0.65", "y.motor", "sense_ohm", None),
        (
            "[filament_switch_sensor f]\nswitch_pin: ^PC3",
            "filament.sensor",
            "pin",
            pin("^PC3", "PC3"),
        ),
        ("[output_pin light]\npin: PB9", "aux.output", "pin", pin("PB9")),
        (
            "[board_pins]\naliases: FAN9=PB9, EXP1_1=<5V>\n[fan]\npin: FAN9",
            "part.fan",
            "pin",
            pin("FAN9", "PB9"),
        ),
        (
            "[fan]\npin: multi_pin:both\n[multi_pin both]\npins: PB8, !PB9",
            "part.fan",
            "pin",
            pin("PB8"),
        ),
    ],
)
def test_a_key_claims_its_attribute(
    text: str, role: str, attribute: str, expected: Value | None
) -> None:
    """Each key comes to the value that the firmware takes, defaults included."""
    found = value(claims_of("section", EXTRUDER + text + "\n"), role, attribute)
    assert found == (pytest.approx(expected) if isinstance(expected, float) else expected)


def test_several_pins_of_one_role_are_all_claimed() -> None:
    """A pin group drives every pin of it."""
    text = "[fan]\npin: multi_pin:both\n[multi_pin both]\npins: PB8, !PB9\n"
    pins = [c.value for c in claims_of("section", text).of("part.fan") if c.attribute == "pin"]
    assert pins == [pin("PB8"), pin("!PB9", "PB9")]


def test_a_second_chip_is_the_board_that_the_wiring_binds() -> None:
    """Aliases of a second chip and pins with its name come to its board."""
    assembly = load(CONFIGS / "marsh-230-curlew.toml")
    claims = claims_of("section", *machine("section-curlew"), assembly=assembly)
    assert value(claims, "hotend.heater", "pin") == PinValue("curlew:HEAT", Place("tool", "gpio2"))
    fan = PinValue("curlew: PART_FAN", Place("tool", "gpio4"))
    assert value(claims, "part.fan", "pin") == fan
    assert value(claims, "bed.heater", "pin") == PinValue("PA8", Place("main", "PA8"))


@pytest.mark.parametrize(
    ("figures", "expected"),
    [
        (
            "temperature1: 25\nresistance1: 100000\nbeta: 4092",
            (("r25_ohm", 100000.0), ("beta_k", 4092.0)),
        ),
        (
            "temperature1: 25\nresistance1: 100000\ntemperature2: 150\nresistance2: 1770\n"
            "temperature3: 250\nresistance3: 230",
            (("points", ((25.0, 100000.0), (150.0, 1770.0), (250.0, 230.0))),),
        ),
    ],
)
def test_a_section_of_the_users_own_describes_a_sensor(figures: str, expected: object) -> None:
    """A sensor type may name a section with figures."""
    text = EXTRUDER.replace("ATC Semitec 104GT-2", "mine") + f"[thermistor mine]\n{figures}\n"
    found = value(claims_of("section", text), "hotend.sensor", "table")
    assert found == SensorValue("mine", figures=expected)  # type: ignore[arg-type]


def test_an_amplifier_reads_the_platinum_sensor_that_is_named() -> None:
    """The nominal resistance tells which one; without it, it is the small one."""
    text = EXTRUDER.replace("ATC Semitec 104GT-2", "MAX31865")
    small = value(claims_of("section", text), "hotend.sensor", "table")
    big = value(claims_of("section", text + "rtd_nominal_r: 1000\n"), "hotend.sensor", "table")
    assert small == SensorValue("MAX31865", "pt100")
    assert big == SensorValue("MAX31865", "pt1000")
    odd = value(claims_of("section", text + "rtd_nominal_r: 430\n"), "hotend.sensor", "table")
    assert odd.unknown == "no platinum sensor has 430 ohm at 0 C"


def test_what_a_file_not_sent_could_change_is_in_doubt() -> None:
    """Text behind an include wins over it; text before it, and silence, do not."""
    late = claims_of("section", EXTRUDER + "[include more.cfg]\n")
    early = claims_of("section", "[include more.cfg]\n" + EXTRUDER)
    before, after = late.find("hotend.heater", "max_c"), early.find("hotend.heater", "max_c")
    assert before
    assert before.caveat == "more.cfg was not sent and could override it"
    assert after
    assert not after.doubt
    silent = early.find("hotend.heater", "max_power")
    assert silent
    assert silent.caveat == "more.cfg was not sent and could set it"
    assert "more.cfg, asked for at a.cfg:1, was not sent" in early.doubt("part.fan", "pin")


def test_the_saved_block_gives_way_and_the_loser_is_told() -> None:
    """What the firmware wrote itself only adds what the text leaves out, in every file of it."""
    saved = (
        "\n#*# <---------------------- SAVE_CONFIG ---------------------->\n"
        "#*# DO NOT EDIT THIS BLOCK OR BELOW. The contents are auto-generated.\n"
        "#*#\n#*# [extruder]\n#*# max_temp = 300\n"
    )
    claims = claims_of("section", EXTRUDER + saved)
    assert value(claims, "hotend.heater", "max_c") == 255.0
    told = [(a.value, b.value) for a, b in claims.overridden if a.attribute == "max_c"]
    assert told == [(300.0, 255.0)]
    silent = EXTRUDER.replace("max_temp: 255\n", "")
    assert value(claims_of("section", silent + saved), "hotend.heater", "max_c") == 300.0
    open_ = claims_of("section", "[include more.cfg]\n" + silent + saved)
    found = open_.find("hotend.heater", "max_c")
    assert found
    assert found.caveat == "more.cfg was not sent and could override it"


def test_a_template_is_unknown() -> None:
    """What the firmware works out while it runs is never taken for a value."""
    claim = claims_of("section", EXTRUDER.replace("255", "{limit}")).find("hotend.heater", "max_c")
    assert claim
    assert claim.doubt


@pytest.mark.parametrize("text", ["max_temp: hot", "max_temp: 2 5 5", "max_temp: 1e", "max_temp:"])
def test_what_is_no_number_is_unknown(text: str) -> None:
    """A value that cannot be read says so and decides nothing."""
    claim = claims_of("section", EXTRUDER.replace("max_temp: 255", text)).find(
        "hotend.heater", "max_c"
    )
    assert claim
    assert claim.doubt


def test_a_measured_model_of_the_block() -> None:
    """The last of the losses by fan speed is that of the fan at full speed."""
    text = EXTRUDER + "control: mpc\nblock_heat_capacity: 10.46\nambient_transfer: 0.0564\n"
    found = claims_of("section", text + "fan_ambient_transfer: 0.0564, 0.08, 0.105\n")
    figures = {
        name: found.find("hotend.heater", name).value  # type: ignore[union-attr]
        for name in ("heat_capacity_j_k", "loss_w_k", "blown_loss_w_k")
    }
    assert list(figures.values()) == [10.46, 0.0564, 0.105]


def test_keys_that_look_relevant_and_are_not_known_are_told() -> None:
    """A section of a fork shows itself."""
    text = EXTRUDER + "[heater_blower x]\nheater_power_pin: PA1\n[gcode_macro FAN]\ngcode: M106\n"
    told = claims_of("section", text).not_understood
    assert [(s.section, s.key) for s in told] == [("heater_blower x", "heater_power_pin")]


@pytest.mark.parametrize("name", ["section", "section-curlew"])
def test_the_clean_machine_leaves_nothing_open(name: str) -> None:
    """Every claim of the clean demo is certain, and nothing looks relevant without being known."""
    assembly = load(CONFIGS / f"marsh-230-{'curlew' if 'curlew' in name else 'c'}.toml")
    claims = claims_from(read("section", *machine(name)), assembly)
    assert [c for c in claims.all if c.doubt] == []
    assert claims.not_understood == ()
    assert claims.doubts == ()


def test_more_things_than_roles_leave_the_others_alone() -> None:
    """A file with hundreds of named heaters still tells of its hot end."""
    many = "".join(f"[heater_generic h{n}]\nheater_pin: PA{n}\n" for n in range(300))
    claims = claims_of("section", EXTRUDER + many + "[temperature_sensor s]\nsensor_type: PT1000\n")
    assert value(claims, "hotend.heater", "max_c") == 255.0
    assert sum(role.startswith("aux") and role.endswith("heater") for role in claims.roles()) == 100


def test_pins_of_sections_that_no_entry_knows_are_kept_in_mind():
    """A part on such a pin is not simply forgotten."""
    claims = claims_of(
        "section", "[gcode_button door]\npin: ^!PC3\n[heater_bed]\nheater_pin: PA8\n"
    )
    assert [(c.value.place.pin, c.span.line) for c in claims.elsewhere] == [("PC3", 2)]


def test_a_default_points_to_its_section():
    """The key is not there; its section is where it would stand."""
    claim = claims_of("section", "\n[heater_bed]\nheater_pin: PA8\n").find(
        "bed.heater", "max_power"
    )
    assert claim.setting is None
    assert claim.span.line == 2


def test_what_the_style_has_no_word_for_is_not_in_doubt():
    """No file that was not sent could set a margin that this firmware does not know."""
    claims = claims_of("section", "[include more.cfg]\n[heater_bed]\nmax_temp: 120\n")
    assert claims.doubt("bed.heater", "overshoot_c") == ""
    assert claims.doubt("bed.heater", "min_c")


FILAMENT = """[filament_switch_sensor left]
switch_pin: ^!PC3
[filament_switch_sensor right]
switch_pin: ^!PC6
[filament_motion_sensor wheel]
switch_pin: ^PC7
"""


def test_every_filament_sensor_is_a_role_of_its_own():
    claims = claims_of("section", FILAMENT)
    roles = ("filament.sensor", "filament1.sensor", "filament2.sensor")
    assert [value(claims, role, "pin") for role in roles] == [
        pin("^!PC3", "PC3"),
        pin("^!PC6", "PC6"),
        pin("^PC7", "PC7"),
    ]
    assert claims.overridden == ()


def test_of_pulses_the_level_says_nothing_and_the_pull_counts():
    claims = claims_of("section", "[filament_motion_sensor wheel]\nswitch_pin: ^!PC7\n")
    inverted = claims.find("filament.sensor", "inverted")
    assert inverted
    assert inverted.doubt == "the firmware counts the pulses, whatever their level"
    assert value(claims, "filament.sensor", "pull") == "up"


@pytest.mark.parametrize(
    ("text", "role"),
    [
        ("[dual_carriage]\naxis: x\nendstop_pin: ^PC6\n", "x1.endstop"),
        ("[dual_carriage]\naxis: y\nendstop_pin: ^PC6\n", "y1.endstop"),
        ("[stepper_z1]\nendstop_pin: ^PC6\n", "z1.endstop"),
    ],
)
def test_a_second_carriage_or_stepper_has_an_end_stop_of_its_own(text: str, role: str):
    claims = claims_of("section", "[stepper_x]\nendstop_pin: ^PC0\n" + text)
    assert value(claims, role, "pin") == pin("^PC6", "PC6")
    assert value(claims, "x.endstop", "pin") == pin("^PC0", "PC0")


def test_blanks_around_the_colon_of_the_probes_end_stop_change_nothing():
    claims = claims_of("section", "[stepper_z]\nendstop_pin: probe : z_virtual_endstop\n")
    assert value(claims, "z.endstop", "pin") is None


@pytest.mark.parametrize("kind", ["temperature_combined", "BME280"])
def test_a_sensor_without_a_pin_is_no_wired_role(kind: str):
    claims = claims_of("section", f"[temperature_sensor chamber]\nsensor_type: {kind}\n")
    assert claims.roles() == frozenset()


def test_of_two_nameless_watching_fans_the_one_on_the_fans_pin_is_the_hot_ends():
    assembly = load(CONFIGS / "marsh-230-c.toml")
    text = EXTRUDER + "[heater_fan a]\npin: PB7\n[heater_fan b]\npin: PB6\n"
    claims = claims_of("section", text, assembly=assembly)
    assert value(claims, "hotend.fan", "pin") == PinValue("PB6", Place("main", "PB6"))
    assert value(claims, "aux.fan", "pin") == PinValue("PB7", Place("main", "PB7"))


@pytest.mark.parametrize("name", ["macros/print_start.cfg", "timelapse.cfg", "adxl345.cfg"])
def test_a_file_that_is_not_about_the_wiring_by_its_name_leaves_nothing_open(name: str):
    claims = claims_of("section", f"{EXTRUDER}[include {name}]\n")
    limit = claims.find("hotend.heater", "max_c")
    assert limit
    assert limit.caveat == ""
    assert claims.doubt("part.fan", "pin") == ""
    assert [missing.name for missing in claims.apart] == [name]


def test_an_output_may_still_be_set_up_in_such_a_file(tmp_path: Path):
    """A light that nothing names is not called forgotten while the lights' file is missing."""
    board = '[board]\nname = "Smew"\nchip = "rp2040"\n[nets]\nL = { chip_pin = "gpio3" }\n'
    (tmp_path / "board.toml").write_text(board + '[connectors]\nl = { pins = ["24V", "L"] }\n')
    fit = '[fit]\nl = { role = "aux.output", at = "main.l", part = "led-24v" }\n'
    (tmp_path / "all.toml").write_text(
        f'[assembly]\nname = "Smew"\n[boards]\nmain = "board.toml"\n{fit}'
    )
    assembly = load(tmp_path / "all.toml")
    claims = claims_of("section", EXTRUDER + "[include leds.cfg]\n", assembly=assembly)
    assert claims.doubt("aux.output", "pin")
    assert not claims.doubt("part.fan", "pin")


def test_a_pattern_that_no_file_fits_leaves_the_doubt_of_a_missing_file():
    claims = claims_of("section", EXTRUDER + "[include parts/*.cfg]\n")
    limit = claims.find("hotend.heater", "max_c")
    assert limit
    assert limit.caveat == "parts/*.cfg was not sent and could override it"
    reason = "no file that fits parts/*.cfg, asked for at a.cfg:7, was sent"
    assert claims.doubt("part.fan", "pin") == reason


@pytest.mark.parametrize("fitted", [True, False])
def test_a_servo_deploys_the_probe_where_one_is_fitted(fitted: bool):
    assembly = load(CONFIGS / "marsh-230-c.toml") if fitted else None
    claims = claims_of("section", "[servo arm]\npin: PA1\n", assembly=assembly)
    expected = PinValue("PA1", Place("main", "PA1")) if fitted else None
    assert value(claims, "probe.servo", "pin") == expected


def test_a_sensor_described_by_voltages_is_unknown_for_that():
    text = EXTRUDER.replace("ATC Semitec 104GT-2", "mine")
    points = "temperature1: 0\nvoltage1: 0.1\ntemperature2: 300\nvoltage2: 3\n"
    claims = claims_of("section", f"{text}[adc_temperature mine]\n{points}")
    assert claims.not_understood == ()
    sensor = claims.find("hotend.sensor", "table")
    assert sensor
    assert sensor.value.unknown == "it is described by voltages, not by resistances"


def test_a_chambers_blower_is_no_part_fan():
    text = "[fan]\npin: PB8\n[heater_fan chamber_blower]\npin: PB7\n" + FAN
    assert value(claims_of("section", EXTRUDER + text), "chamber.fan", "pin") == pin("PB7")


@pytest.mark.parametrize(("tower", "axis"), [("a", "x"), ("b", "y"), ("c", "z")])
def test_the_towers_of_a_delta_are_its_axes(tower: str, axis: str):
    text = (
        f"[stepper_{tower}]\nstep_pin: PA4\nendstop_pin: ^!PC1\n"
        f"[tmc2209 stepper_{tower}]\nuart_pin: PC2\nrun_current: 0.9\n"
    )
    claims = claims_of("section", text)
    assert value(claims, f"{axis}.motor", "pin") == pin("PA4")
    assert value(claims, f"{axis}.motor", "current_a") == 0.9
    assert value(claims, f"{axis}.motor", "sense_ohm") == 0.11
    assert value(claims, f"{axis}.endstop", "pin") == pin("^!PC1", "PC1")
    assert value(claims, f"{axis}.endstop", "inverted") is True
    assert claims.find(f"{axis}.endstop", "homing_pin") is None, "a probe does not home a tower"


def test_a_second_carriages_driver_has_a_current():
    text = "[tmc2209 dual_carriage]\nuart_pin: PC2\nrun_current: 0.9\n"
    assert value(claims_of("section", text), "x1.motor", "current_a") == 0.9


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("sensor_type: Generic 3950\nsensor_pin: PC1", 4700.0),
        ("sensor_type: Generic 3950\nsensor_pin: PC1\npullup_resistor: 1000", 1000.0),
        ("sensor_type: MAX31865\nsensor_pin: PC1", None),
    ],
)
def test_a_named_sensor_has_the_usual_pull_up_where_it_has_one(text: str, expected: float | None):
    claims = claims_of("section", f"[temperature_sensor chamber]\n{text}")
    assert value(claims, "chamber.sensor", "pullup_ohm") == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("extruder, extruder1", ["hotend.heater", "hotend1.heater"]),
        ("heater_bed, extruder, extruder", ["hotend.heater", "bed.heater"]),
        ("heater_bed", ["bed.heater"]),
    ],
)
def test_a_fan_watches_every_heater_of_its_list(text: str, expected: list[str]):
    second = EXTRUDER.replace("[extruder]", "[extruder1]").replace("PC", "PD")
    claims = claims_of("section", f"{EXTRUDER}{second}{BED}{FAN}heater: {text}\n")
    watched = [c.value for c in claims.of("hotend.fan") if c.attribute == "watches"]
    assert watched == expected


def test_the_chips_that_are_set_up_are_known_by_name():
    claims = claims_of(
        "section", "[mcu]\nserial: a\n[mcu  head]\ncanbus_uuid: 1\n#[mcu far]\n#serial: b"
    )
    assert claims.chips == {"0", "head"}


def test_carriages_and_their_steppers_and_the_probe_of_a_tool():
    claims = claims_of(
        "section",
        "[carriage x]\nendstop_pin: ^PC0\n[stepper x]\nstep_pin: PA4\n"
        "[tmc2209 stepper x]\nrun_current: 0.9\n[tool_probe T1]\npin: PB1\n"
        "[mmu_sensors]\npre_gate_switch_pin_0: PB7\n",
    )
    assert value(claims, "x.endstop", "pin").place.pin == "PC0"
    assert value(claims, "x.motor", "pin").place.pin == "PA4"
    assert value(claims, "x.motor", "current_a") == 0.9
    assert value(claims, "probe1.signal", "pin").place.pin == "PB1"
    assert [c.value.place.pin for c in claims.elsewhere] == ["PB7"]


@pytest.mark.parametrize(
    ("pin", "role"), [("PB6", "hotend.fan"), ("PB15", "hotend.fan"), ("PB8", "part.fan")]
)
def test_a_fan_that_starts_with_a_heater_is_the_hot_ends_whatever_its_name(tmp_path, pin, role):
    """Unless it hangs where a part fan does."""
    text = f"{EXTRUDER}[heater_fan part_cooling]\npin: {pin}\nheater: extruder\n"
    (tmp_path / "printer.cfg").write_text(text)
    machine = api.load_configuration(tmp_path, style="section")
    found, _ = api.claims(machine, api.load_wiring(api.demo("marsh-230-c.toml")))
    claim = found.find(role, "pin")
    assert claim is not None
    assert claim.value.place.pin == pin


def test_small_letters_count_in_the_name_of_a_described_sensor(tmp_path):
    """The firmware refuses a name that differs in them: it is no agreement."""
    bead = "[thermistor bead]\ntemperature1: 25\nresistance1: 100000\nbeta: 3950\n"
    for written, known in (("bead", True), ("Bead", False)):
        (tmp_path / "printer.cfg").write_text(
            bead + EXTRUDER.replace("ATC Semitec 104GT-2", written)
        )
        found, _ = api.claims(api.load_configuration(tmp_path, style="section"))
        table = found.find("hotend.sensor", "table")
        assert table is not None
        assert bool(table.value.unknown) is not known
