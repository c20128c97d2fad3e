"""What headers claim."""

from pathlib import Path

import pytest
from applied import claims_of, machine
from attrs import evolve

from pincheck.model.claim import Claims, PinValue, Place, SensorValue, Value
from pincheck.resources import folder
from pincheck.wiring.load import load

CONFIGS = folder("configs")
ON = """#define TEMP_SENSOR_0 5
#define TEMP_SENSOR_BED 11
#define EXTRUDER_AUTO_FAN_TEMPERATURE 50
"""
PROBE = "#define BLTOUCH\n"
HEADER = f"{ON}#define MOTHERBOARD BOARD_HERON_2\n"


def value(claims: Claims, role: str, attribute: str) -> Value | None:
    """Return a certain value, None where nothing is claimed."""
    claim = claims.find(role, attribute)
    assert claim is None or not claim.doubt, claim.doubt
    return claim and claim.value


def pin(name: str) -> PinValue:
    """Return a pin without wiring."""
    return PinValue(name, Place("", name))


@pytest.mark.parametrize(
    ("text", "role", "attribute", "expected"),
    [
        ("#define HEATER_0_MAXTEMP 275", "hotend.heater", "max_c", 275.0),
        ("#define HEATER_0_MAXTEMP (250 + 5)", "hotend.heater", "max_c", 255.0),
        ("#define HEATER_0_MINTEMP 5//A8", "hotend.heater", "min_c", 5.0),
        ("#define HOTEND_OVERSHOOT 15", "hotend.heater", "overshoot_c", 15.0),
        ("#define BED_MAXTEMP 125", "bed.heater", "max_c", 125.0),
        (
            "#define PIDTEMP\n#define BANG_MAX 200\n#define PID_MAX BANG_MAX",
            "hotend.heater",
            "max_power",
            200 / 255,
        ),
        ("#define BANG_MAX 51", "hotend.heater", "max_power", 0.2),
        ("#define EXTRUDERS 2\n#define SINGLENOZZLE", "hotend.heater", "hotend_count", 1.0),
        ("#define EXTRUDERS 0\n#define SINGLENOZZLE", "hotend.heater", "hotend_count", 0.0),
        ("#define EXTRUDERS 2", "hotend.heater", "hotend_count", 2.0),
        ("#define PIDTEMP\n#define PID_MAX 51", "hotend.heater", "max_power", 1.0),
        (
            "#define PIDTEMP\n#define BANG_MAX 51\n#define PID_MAX 102",
            "hotend.heater",
            "max_power",
            0.4,
        ),
        (
            "#define PIDTEMP\n#define BANG_MAX 102\n#define PID_MAX 51",
            "hotend.heater",
            "max_power",
            0.4,
        ),
        ("#define BANG_MAX 51\n#define PID_MAX 102", "hotend.heater", "max_power", 0.2),
        ("#define MAX_BED_POWER 255", "bed.heater", "max_power", 1.0),
        ("#define THERMAL_PROTECTION_HOTENDS", "hotend.heater", "protection", True),
        ("//#define THERMAL_PROTECTION_HOTENDS", "hotend.heater", "protection", False),
        ("#define HEATER_0_MAXTEMP 275", "hotend.heater", "protection", False),
        ("#define THERMAL_PROTECTION_BED false", "bed.heater", "protection", False),
        (
            "#define THERMAL_PROTECTION_HOTENDS\n#define WATCH_TEMP_PERIOD 20",
            "hotend.heater",
            "watch_period_s",
            20.0,
        ),
        ("#define WATCH_TEMP_PERIOD 20", "hotend.heater", "watch_period_s", None),
        (
            "#define THERMAL_PROTECTION_HOTENDS\n#define THERMAL_PROTECTION_PERIOD 40",
            "hotend.heater",
            "watch_period_s",
            0.0,
        ),
        ("#define THERMAL_PROTECTION_BED", "bed.heater", "protection_kind", "window"),
        ("#define THERMAL_PROTECTION_BED false", "bed.heater", "protection_kind", None),
        (
            "#define MPCTEMP\n#define MPC_AMBIENT_XFER_COEFF { 0.068f }",
            "hotend.heater",
            "loss_w_k",
            0.068,
        ),
        ("#define MPCTEMP\n#define MPC_HEATER_POWER { 40.0f }", "hotend.heater", "heater_w", 40.0),
        (
            "#define E0_DRIVER_TYPE TMC2209\n#define E0_CURRENT 800",
            "extruder.motor",
            "current_a",
            0.8,
        ),
        ("#define E0_CURRENT 800", "extruder.motor", "current_a", None),
        ("#define FAN_PIN PB8", "part.fan", "pin", pin("PB8")),
        ("#define FAN0_PIN P2_04", "part.fan", "pin", PinValue("P2_04", Place("", "P2.4"))),
        ("#define FAN1_PIN PB6\n#define E0_AUTO_FAN_PIN FAN1_PIN", "hotend.fan", "pin", pin("PB6")),
        ("#define FAN1_PIN PB6\n#define E0_AUTO_FAN_PIN FAN1_PIN", "part1.fan", "pin", None),
        ("#define E0_AUTO_FAN_PIN -1", "hotend.fan", "pin", PinValue("-1", absent=True)),
        ("#define E0_AUTO_FAN_PIN", "hotend.fan", "pin", PinValue("", absent=True)),
        ("#define E0_AUTO_FAN_PIN -1", "hotend.fan", "watches", None),
        ("#define E0_AUTO_FAN_PIN PB6", "hotend.fan", "watches", "hotend.heater"),
        ("#define E0_AUTO_FAN_PIN PB6", "hotend.fan", "threshold_c", 50.0),
        ("#define E1_AUTO_FAN_PIN PB6", "hotend1.fan", "pin", None),
        (
            "#define TEMP_SENSOR_1 1\n#define E1_AUTO_FAN_PIN PB6",
            "hotend1.fan",
            "watches",
            "hotend1.heater",
        ),
        ("#define FAN_MIN_PWM 51", "part.fan", "min_duty", 0.2),
        ("#define FAN_KICKSTART_TIME 200", "part.fan", "kick_start_s", 0.2),
        ("#define FAN_SOFT_PWM\n#define SOFT_PWM_SCALE 2", "part.fan", "pwm_hz", 30.517578125),
        (
            "#define FAST_PWM_FAN\n#define FAST_PWM_FAN_FREQUENCY 25000",
            "part.fan",
            "pwm_hz",
            25000.0,
        ),
        (PROBE + "#define Z_MIN_PROBE_ENDSTOP_INVERTING true", "probe.signal", "inverted", True),
        (PROBE + "#define Z_MIN_PROBE_ENDSTOP_HIT_STATE LOW", "probe.signal", "inverted", True),
        (PROBE + "#define Z_MIN_PROBE_ENDSTOP_HIT_STATE HIGH", "probe.signal", "inverted", False),
        ("#define Z_MIN_PROBE_ENDSTOP_INVERTING true", "probe.signal", "inverted", None),
        (PROBE + "#define ENDSTOPPULLUPS", "probe.signal", "pull", "up"),
        (
            PROBE + "//#define ENDSTOPPULLUPS\n#define ENDSTOPPULLUP_ZMIN_PROBE",
            "probe.signal",
            "pull",
            "up",
        ),
        (PROBE + "//#define ENDSTOPPULLUPS", "probe.signal", "pull", "none"),
        (PROBE, "probe.signal", "probe_kind", "servo-deployed"),
        ("#define FIX_MOUNTED_PROBE", "probe.signal", "probe_kind", "fixed"),
        (PROBE + "//#define Z_PROBE_SERVO_NR 0", "probe.servo", "servo_number", 0.0),
        (
            PROBE + "#define Z_PROBE_SERVO_NR 1\n#define SERVO1_PIN PA3",
            "probe.servo",
            "pin",
            pin("PA3"),
        ),
        (
            PROBE + "#define Z_MIN_PIN PC2\n#define Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN",
            "probe.signal",
            "pin",
            PinValue("Z_MIN_PIN", Place("", "PC2")),
        ),
        ("#define Z_MIN_PIN PC2\n#define Z_HOME_DIR -1", "z.endstop", "homing_pin", pin("PC2")),
        (
            PROBE + "#define USE_PROBE_FOR_Z_HOMING",
            "z.endstop",
            "homing_pin",
            PinValue("virtual", virtual=True),
        ),
        (
            "#define FILAMENT_RUNOUT_SENSOR\n#define FIL_RUNOUT_PIN PC3",
            "filament.sensor",
            "pin",
            pin("PC3"),
        ),
        ("#define FIL_RUNOUT_PIN PC3", "filament.sensor", "pin", None),
    ],
)
def test_a_name_claims_its_attribute(
    text: str, role: str, attribute: str, expected: Value | None
) -> None:
    """Each name comes to the value that the firmware takes, under the names that it hangs on."""
    found = value(claims_of("define", f"{ON}{text}\n"), role, attribute)
    assert found == (pytest.approx(expected) if isinstance(expected, float) else expected)


def test_a_users_own_table_is_described_by_its_figures() -> None:
    """Table 1000 takes resistance, beta and pull-up from names of its own."""
    text = (
        "#define TEMP_SENSOR_0 1000\n#define HOTEND0_RESISTANCE_25C_OHMS 100000\n"
        "#define HOTEND0_BETA 4267\n#define HOTEND0_PULLUP_RESISTOR_OHMS 4700\n"
    )
    claims = claims_of("define", text + "#define EXTRUDER_AUTO_FAN_TEMPERATURE 50\n")
    sensor = SensorValue("1000", figures=(("beta_k", 4267.0), ("r25_ohm", 100000.0)))
    assert value(claims, "hotend.sensor", "table") == sensor
    assert value(claims, "hotend.sensor", "pullup_ohm") == 4700.0


def test_an_amplifier_reads_the_platinum_sensor_that_its_ohms_name() -> None:
    """Sensor -5 is what MAX31865_SENSOR_OHMS says."""
    text = (
        ON.replace("TEMP_SENSOR_0 5", "TEMP_SENSOR_0 -5") + "#define MAX31865_SENSOR_OHMS_0 1000\n"
    )
    assert value(claims_of("define", text), "hotend.sensor", "table") == SensorValue("-5", "pt1000")


def test_an_unknown_table_is_unknown() -> None:
    """A number in no list is never taken for a sensor."""
    claim = claims_of("define", ON.replace("0 5", "0 77")).find("hotend.sensor", "table")
    assert claim
    assert "table '77' is in no list" in claim.value.unknown


def test_a_hot_end_without_sensor_is_none() -> None:
    """TEMP_SENSOR_0 0 switches the hot end off, whatever limits stand there."""
    text = ON.replace("SENSOR_0 5", "SENSOR_0 0") + "#define HEATER_0_MAXTEMP 275\n"
    assert not any(role.startswith("hotend") for role in claims_of("define", text).roles())


def test_what_hangs_on_a_header_not_sent_is_in_doubt() -> None:
    """Without the line that switches the hot end on, its limit is claimed but not certain."""
    claims = claims_of("define", "#define HEATER_0_MAXTEMP 275\n")
    claim = claims.find("hotend.heater", "max_c")
    assert claim
    assert claim.doubt == "TEMP_SENSOR_0 is in no file that was sent"
    assert claims.doubt("hotend.fan", "pin") == "the file that holds TEMP_SENSOR_0 was not sent"


def test_an_open_condition_leaves_the_claim_possible() -> None:
    """A later line under an unknown condition makes the certain one uncertain."""
    text = f"{ON}#define HEATER_0_MAXTEMP 275\n#if SOMEBODY_ELSES\n#undef HEATER_0_MAXTEMP\n"
    text += "#define HEATER_0_MAXTEMP 300\n#endif\n"
    claims = claims_of("define", text)
    claim = claims.find("hotend.heater", "max_c")
    assert claim
    assert "SOMEBODY_ELSES" in claim.doubt


def test_stock_pins_count_for_the_board_that_is_named() -> None:
    """The board's own header answers where the user sent none; the user's lines win."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    claims = claims_of("define", f"{HEADER}#define FAN_PIN PB8\n", assembly=assembly)
    heater = claims.find("hotend.heater", "pin")
    assert heater
    assert heater.value == PinValue("PC8", Place("main", "PC8"))
    assert heater.origin == "stock pin of Heron 2 (HEATER_0_PIN)"
    fan = claims.find("part.fan", "pin")
    assert fan
    assert fan.value == PinValue("PB8", Place("main", "PB8"))
    assert claims.find("part1.fan", "pin") is None


def test_a_name_of_the_boards_header_is_known() -> None:
    """A reference to a stock name comes to the stock pin."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    claims = claims_of("define", f"{HEADER}#define E0_AUTO_FAN_PIN FAN1_PIN\n", assembly=assembly)
    claim = claims.find("hotend.fan", "pin")
    assert claim
    assert claim.value == PinValue("FAN1_PIN", Place("main", "PB6"))
    assert not claim.doubt


@pytest.mark.parametrize("line", ["#define MOTHERBOARD BOARD_BITTERN", ""])
def test_another_board_leaves_every_pin_unchecked(line: str) -> None:
    """A configuration for another mainboard says nothing of this one's pins."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    claims = claims_of("define", f"{ON}{line}\n#define FAN_PIN PB8\n", assembly=assembly)
    claim = claims.find("part.fan", "pin")
    assert claim
    assert claim.doubt
    assert claims.find("hotend.heater", "pin") is None
    assert claims.doubt("hotend.heater", "pin")
    assert not claims.doubt("hotend.heater", "max_c")


def test_overridden_settings_come_as_pairs() -> None:
    """The line that lost is told with the one that won."""
    text = f"{ON}#define HEATER_0_MAXTEMP 275\n#define HEATER_0_MAXTEMP 250\n"
    claims = claims_of("define", text)
    assert [(a.value, b.value) for a, b in claims.overridden] == [(275.0, 250.0)]
    assert value(claims, "hotend.heater", "max_c") == 250.0


def test_names_that_look_relevant_and_are_not_known_are_told() -> None:
    """A fork's own name shows itself; names that only look so do not."""
    text = (
        f"{ON}#define HOTEND_MAXTEMP_OVERRIDE 320\n#define PREHEAT_1_FAN_SPEED 0\n#define LIGHT 1\n"
    )
    claims = claims_of("define", text)
    assert [s.key for s in claims.not_understood] == ["HOTEND_MAXTEMP_OVERRIDE"]


def test_the_clean_machine_leaves_nothing_open() -> None:
    """Every claim of the clean demo is certain, and nothing looks relevant without being known."""
    assembly = load(Path(CONFIGS) / "marsh-230-c.toml")
    claims = claims_of("define", *machine("define"), assembly=assembly)
    assert [c for c in claims.all if c.doubt] == []
    assert claims.not_understood == ()
    assert claims.doubts == ()


def test_an_end_stop_may_be_named_without_its_side():
    """Boards with one end stop for each axis call it Z_STOP, and the probe may share its pin."""
    text = (
        "#define TEMP_SENSOR_0 5\n#define Z_HOME_DIR -1\n#define Z_STOP_PIN PC2\n"
        "#define FIX_MOUNTED_PROBE\n#define Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN\n"
    )
    claims = claims_of("define", text)
    assert claims.find("probe.signal", "pin").value.place.pin == "PC2"
    assert claims.find("z.endstop", "homing_pin").value.place.pin == "PC2"


@pytest.mark.parametrize("homes", ["", "//#define X_HOME_DIR -1\n"])
@pytest.mark.parametrize(
    "pins",
    ["#define X_MIN_PIN PC0\n", "#define X_MAX_PIN PC7\n#define X_MIN_PIN PC0\n"],
)
def test_an_end_stop_of_a_side_is_open_until_the_side_is_told(homes: str, pins: str) -> None:
    """Without its side the firmware does not build, so that neither pin is surely unused."""
    claims = claims_of("define", ON + homes + pins)
    claim = claims.find("x.endstop", "pin")
    assert claim
    assert claim.doubt == "no file that was sent sets X_HOME_DIR"
    assert claims.overridden == ()


def test_near_misses_of_a_side_that_is_not_told() -> None:
    """A side that is told decides, and a key that does without one needs none."""
    both = "#define X_MIN_PIN PC0\n#define X_MAX_PIN PC7\n"
    assert value(claims_of("define", ON + both + "#define X_HOME_DIR 1"), "x.endstop", "pin") == (
        pin("PC7")
    )
    high = ON + "#define X_MIN_PIN PC0\n#define X_HOME_DIR 1"
    assert value(claims_of("define", high), "x.endstop", "pin") is None
    stop = claims_of("define", ON + "#define X_STOP_PIN PC0")
    assert value(stop, "x.endstop", "pin") == pin("PC0")


def test_two_names_of_one_pin_are_told_only_where_both_surely_count() -> None:
    """X_STOP_PIN counts always, X_MIN_PIN only where X homes low."""
    text = ON + "#define X_STOP_PIN PC0\n#define X_MIN_PIN PC7\n"
    assert claims_of("define", text).overridden == ()
    ((loser, winner),) = claims_of("define", text + "#define X_HOME_DIR -1").overridden
    assert (loser.value, winner.value) == (pin("PC0"), pin("PC7"))


def test_a_spare_fan_output_on_the_heaters_pin_is_no_offer_of_the_board():
    """Each command to that fan would heat, fitted or not."""
    text = "#define TEMP_SENSOR_0 5\n#define HEATER_0_PIN PC8\n#define FAN1_PIN PC8\n"
    assert claims_of("define", text).find("part1.fan", "pin").value.place.pin == "PC8"


def test_a_default_points_to_the_line_that_is_commented_out():
    """Whoever reads of a protection that is off wants to see that line."""
    text = "#define TEMP_SENSOR_BED 11\n#define BED_MAXTEMP 120\n//#define THERMAL_PROTECTION_BED\n"
    claim = claims_of("define", text).find("bed.heater", "protection")
    assert (claim.value, claim.setting, claim.span.line) == (False, None, 3)


def test_a_header_not_sent_leaves_what_it_cannot_change_certain() -> None:
    """Figures of the user's own table count only while that table is chosen."""
    chosen = claims_of("define", "#define TEMP_SENSOR_0 5\n#define TEMP_SENSOR_BED 1000\n")
    assert chosen.doubt("hotend.sensor", "pullup_ohm") == ""
    assert "was not sent" in chosen.doubt("bed.sensor", "pullup_ohm")
    assert "was not sent" in chosen.doubt("hotend.heater", "max_c")


EITHER = "#if PROFILE\n#define TEMP_SENSOR_0 5\n#else\n#define TEMP_SENSOR_0 {other}\n#endif\n"
REST = "#define HEATER_0_MAXTEMP 275\n#define EXTRUDER_AUTO_FAN_TEMPERATURE 50\n"


def test_what_holds_in_either_branch_is_certain() -> None:
    claims = claims_of("define", EITHER.format(other=1) + REST)
    assert value(claims, "hotend.heater", "max_c") == 275.0
    table = claims.find("hotend.sensor", "table")
    assert table is not None
    assert table.doubt


@pytest.mark.parametrize(
    "text",
    [
        EITHER.format(other=0),
        "#if A\n{5}#endif\n#if B\n{1}#endif\n",
        "#if A\n#if B\n{5}#else\n{1}#endif\n#endif\n",
        "#if B\n#if A\n{5}#endif\n#else\n#if A\n{1}#endif\n#endif\n",
    ],
)
def test_what_may_hold_in_none_of_the_branches_is_not(text: str) -> None:
    for number in ("1", "5"):
        text = text.replace(f"{{{number}}}", f"#define TEMP_SENSOR_0 {number}\n")
    claim = claims_of("define", text + REST).find("hotend.heater", "max_c")
    assert claim is None or claim.doubt


def test_a_hot_end_fan_without_a_line_has_no_pin_and_shows_the_line_to_switch_on() -> None:
    claims = claims_of("define", ON + "//#define E0_AUTO_FAN_PIN FAN1_PIN\n")
    claim = claims.find("hotend.fan", "pin")
    assert claim is not None
    assert isinstance(claim.value, PinValue)
    assert claim.value.absent
    assert claim.span is not None
    assert claim.span.line == 4


def test_the_older_name_of_a_hot_end_fans_pin_counts_as_well() -> None:
    claims = claims_of("define", ON + "#define EXTRUDER_0_AUTO_FAN_PIN PB6\n")
    assert value(claims, "hotend.fan", "pin") == pin("PB6")
    assert value(claims, "hotend.fan", "watches") == "hotend.heater"
    assert value(claims, "hotend.fan", "threshold_c") == 50.0


def test_of_several_lines_out_of_force_the_one_to_switch_on_is_shown() -> None:
    decoy = "#if 0\n#define E0_AUTO_FAN_PIN 9\n//#define E0_AUTO_FAN_PIN 8\n#endif\n"
    claims = claims_of("define", ON + "//#define E0_AUTO_FAN_PIN PB6\n" + decoy)
    claim = claims.find("hotend.fan", "pin")
    assert claim is not None
    assert claim.span is not None
    assert claim.span.line == 4


def test_a_converter_is_read_on_its_own_pin_and_not_on_the_analog_one() -> None:
    """A digital converter sits on a bus: the board's analog input beside it is unused."""
    both = "#define TEMP_0_PIN PF4\n#define TEMP_0_CS_PIN PA4\n"
    assert value(claims_of("define", ON + both), "hotend.sensor", "pin") == pin("PF4")
    converter = ON.replace("TEMP_SENSOR_0 5", "TEMP_SENSOR_0 -5") + both
    assert value(claims_of("define", converter), "hotend.sensor", "pin") == pin("PA4")


def test_a_sensor_of_kind_minus_one_is_one() -> None:
    """-1 is an analog amplifier, not "none" as for a pin."""
    text = ON.replace("TEMP_SENSOR_0 5", "TEMP_SENSOR_0 -1") + "#define HEATER_0_MAXTEMP 290\n"
    assert value(claims_of("define", text), "hotend.heater", "max_c") == 290.0


@pytest.mark.parametrize(("direction", "inverted"), [("1", True), ("-1", None)])
def test_an_end_stop_at_the_top_homes_z_beside_a_probe_on_the_plug_below(
    direction: str, inverted: bool | None
) -> None:
    text = (
        f"{ON}#define FIX_MOUNTED_PROBE\n#define Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN\n"
        f"#define Z_HOME_DIR {direction}\n#define Z_MAX_ENDSTOP_INVERTING true\n"
    )
    assert value(claims_of("define", text), "z.endstop", "inverted") is inverted


def test_a_pin_that_neither_files_nor_wiring_tell_is_open() -> None:
    """The board's own header sets it, and nobody sent that: absence proves nothing."""
    assembly = load(Path(CONFIGS) / "marsh-230-c.toml")
    board = assembly.boards["main"]
    fewer = {k: v for k, v in board.stock_pins.items() if k != "HEATER_BED_PIN"}
    partly = evolve(assembly, boards={**assembly.boards, "main": evolve(board, stock_pins=fewer)})
    sent = machine("define")
    open_ = [(d.role, d.attribute) for d in claims_of("define", *sent, assembly=partly).doubts]
    assert open_ == [("bed.heater", "pin")]
    wrong = {**fewer, "HEATERBED_PIN": "PA8"}
    misspelt = evolve(assembly, boards={**assembly.boards, "main": evolve(board, stock_pins=wrong)})
    reasons = [doubt.reason for doubt in claims_of("define", *sent, assembly=misspelt).doubts]
    assert reasons == [
        "neither the files nor the wiring's [stock_pins] say HEATER_BED_PIN; "
        "is HEATERBED_PIN there misspelt?"
    ]
    own = "#define X_STEP_PIN PA4\n"  # the board's own header was sent, and it is silent
    assert claims_of("define", *sent, own, assembly=partly).doubts == ()


def test_a_stop_pin_under_both_of_its_names_needs_no_direction() -> None:
    """The board says X_MIN_PIN and X_STOP_PIN, and both mean one pin."""
    assembly = load(Path(CONFIGS) / "marsh-230-c.toml")
    claims = claims_of("define", HEADER, assembly=assembly)
    assert value(claims, "x.endstop", "pin") == PinValue("PC0", Place("main", "PC0"))


def test_older_keys_second_motors_and_second_switches():
    text = (
        f"{HEADER}#define USE_CONTROLLER_FAN\n#define CONTROLLER_FAN2_PIN PB7\n"
        "#define Z2_DRIVER_TYPE TMC2209\n#define Z2_CURRENT 800\n#define FILAMENT_RUNOUT_SENSOR\n"
        "#define FIL_RUNOUT_INVERTING true\n#define FIL_RUNOUT2_PIN PC2\n"
    )
    claims = claims_of("define", text)
    assert value(claims, "controller1.fan", "pin") == pin("PB7")
    assert value(claims, "z1.motor", "current_a") == pytest.approx(0.8)
    assert value(claims, "filament.sensor", "inverted") is True
    assert value(claims, "filament1.sensor", "pin") is None
    two = claims_of("define", f"{text}#define NUM_RUNOUT_SENSORS 2\n")
    assert value(two, "filament1.sensor", "pin") == pin("PC2")


def test_what_only_looks_like_a_fan_or_sensor_is_no_key_to_be_told_of():
    noise = "#define STATUS_FAN_X 3\n#define PROBE_SPEED_FAST 9\n#define MMU_FILAMENT_SENSOR\n"
    claims = claims_of("define", f"{ON}{noise}#define FAN_OF_A_FORK_PIN 4\n")
    assert [setting.key for setting in claims.not_understood] == ["FAN_OF_A_FORK_PIN"]
