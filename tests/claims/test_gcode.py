"""What start-up scripts claim."""

import shutil
from pathlib import Path

import pytest
from applied import claims_of, machine

from pincheck.model.claim import Claims, PinValue, Place, SensorValue, Value
from pincheck.model.source import Source
from pincheck.resources import folder
from pincheck.wiring.load import load

CONFIGS = folder("configs")
HEAT = """M308 S0 P"PC4" Y"thermistor" T100000 B3950
M950 H0 C"PA8" T0
M140 H0
M308 S1 P"PC5" Y"thermistor" T100000 B4725 C7.06e-8
M950 H1 C"PC8" T1
M950 F0 C"PB8"
M950 F1 C"PB6" Q500
M563 P0 D0 H1 F0
"""
OLD = """M305 P0 T100000 B3950 R4700
M305 P1 T100000 B4725 C7.06e-8 R4700
M143 S280
M106 P1 H1 T45
M563 P0 D0 H1
"""


def value(claims: Claims, role: str, attribute: str) -> Value | None:
    """Return a certain value, None where nothing is claimed."""
    claim = claims.find(role, attribute)
    assert claim is None or not claim.doubt, claim.doubt
    return claim and claim.value


def pin(text: str, name: str = "") -> PinValue:
    """Return a pin without wiring."""
    return PinValue(text, Place("", name or text))


def letters(r25_ohm: float, beta_k: float, c: float) -> SensorValue:
    """Return a thermistor as the letters T, B and C describe it."""
    figures = (("beta_k", beta_k), ("c", c), ("r25_ohm", r25_ohm))
    return SensorValue("thermistor", figures=figures)


@pytest.mark.parametrize(
    ("text", "role", "attribute", "expected"),
    [
        ("", "hotend.heater", "pin", pin("PC8")),
        ("", "hotend.heater", "protection", True),
        ("", "bed.heater", "pin", pin("PA8")),
        ("", "hotend.sensor", "pin", pin("PC5")),
        ("", "hotend.sensor", "table", letters(100000, 4725, 7.06e-8)),
        ("", "bed.sensor", "table", letters(100000, 3950, 0)),
        (
            'M308 S2 P"PC1" Y"thermistor"\nM950 H2 C"PC9" T2\nM563 P1 H2',
            "hotend1.sensor",
            "table",
            letters(100000, 4725, 7.06e-8),
        ),
        ('M308 S1 Y"pt1000"', "hotend.sensor", "table", SensorValue("pt1000", "pt1000")),
        ("M308 S1 R2200", "hotend.sensor", "pullup_ohm", 2200.0),
        ('M308 S5 Y"mcu-temp"', "board.sensor", "table", SensorValue("mcu-temp", "digital-mcu")),
        ('M308 S5 P"PC1" Y"thermistor" A"Chamber"', "chamber.sensor", "pin", pin("PC1")),
        ("M143 H1 S280", "hotend.heater", "max_c", 280.0),
        ("m143 h1 s280", "hotend.heater", "max_c", 280.0),
        ("M143 H1 S280\nM143 H1 S250", "hotend.heater", "max_c", 250.0),
        ("M143 H1 S280 A2\nM143 H1 S250", "hotend.heater", "max_c", 250.0),
        ("M143 H1 S280\nM143 H1 P1 S90 A2", "hotend.heater", "max_c", 90.0),
        ("", "hotend.heater", "max_c", 290.0),
        ("", "bed.heater", "max_c", 125.0),
        ("M307 H1 S0.8", "hotend.heater", "max_power", 0.8),
        ("", "hotend.heater", "max_power", 1.0),
        ("", "hotend.heater", "protection_kind", "model"),
        ("M307 H1 R2.4 K0.36:0.12 D4.5", "hotend.heater", "model_rate_k_s", 2.4),
        ("M307 H1 R2.4 K0.36:0.12 D4.5", "hotend.heater", "model_cooling_k_s", 0.36),
        ("M307 H1 R2.4 K0.36:0.12 D4.5", "hotend.heater", "model_dead_time_s", 4.5),
        ("M307 H1 R2.4 K0.36 D4.5 E1.2", "hotend.heater", "model_cooling_exponent", 1.2),
        ("M307 H1 R2.4 K0.36 D4.5", "hotend.heater", "model_cooling_exponent", 1.35),
        ("M307 H1 R2.4 C190:150 D4.5", "hotend.heater", "model_cooling_exponent", None),
        ("M307 H1 R2.4 C190:150 D4.5", "hotend.heater", "model_tau_s", 190.0),
        ("M307 H0 A90 C700 D10", "bed.heater", "model_gain_k", 90.0),
        ("M570 H1 P4 T10", "hotend.heater", "trip_period_s", 4.0),
        ("", "hotend.heater", "trip_hysteresis_c", 15.0),
        ("M302 S180", "hotend.heater", "min_extrude_c", 180.0),
        ("", "part.fan", "pin", pin("PB8")),
        ("", "part.fan", "pwm_hz", 250.0),
        ("M106 P1 H1 T50", "hotend.fan", "pin", pin("PB6")),
        ("M106 P1 H1 T50", "hotend.fan", "pwm_hz", 500.0),
        ("M106 P1 H1 T50", "hotend.fan", "watches", "hotend.heater"),
        ("M106 P1 H1 T40:60", "hotend.fan", "threshold_c", 40.0),
        ("M106 P1 H1", "hotend.fan", "threshold_c", 45.0),
        ("M106 P1 H0 T50", "hotend.fan", "watches", "bed.heater"),
        ("M106 P1 H0:1 T50", "hotend.fan", "watches", "hotend.heater"),
        ('M106 P1 H0 T50 C"Hot end fan"', "hotend.fan", "watches", "bed.heater"),
        ("M106 P0 H-1 L51 X255", "part.fan", "min_duty", 0.2),
        ("M106 P0 H-1 L0.25 X0.5", "part.fan", "max_power", 0.5),
        ("M106 P0 H-1", "part.fan", "watches", None),
        ('M308 S5 Y"drivers"\nM950 F2 C"PB7"\nM106 P2 H5 T45', "controller.fan", "pin", pin("PB7")),
        ('M950 F2 C"PB7"\nM106 P2 H0:1 T50\nM106 P1 H1', "controller.fan", "pin", pin("PB7")),
        ('M950 F2 C"PB7"\nM106 P2 H0:1 T50\nM106 P1 H1', "hotend.fan", "pin", pin("PB6")),
        ('M950 F2 C"PB7"\nM106 P2 H1 C"Board"', "controller.fan", "pin", pin("PB7")),
        ('M950 F2 C"PB7"', "aux1.fan", "pin", pin("PB7")),
        ('M950 F2 C"!PB7+PB9"', "aux1.fan", "inverted", True),
        ('M558 P9 C"^PB1"', "probe.signal", "pin", pin("^PB1", "PB1")),
        ('M558 P9 C"^!PB1"', "probe.signal", "inverted", True),
        ('M558 K0 P8 C"^PB1"', "probe.signal", "pull", "up"),
        ('M558 P9 C"PB1"', "probe.signal", "probe_kind", "servo-deployed"),
        ('M558 P5 C"PB1"', "probe.signal", "probe_kind", "fixed"),
        ('M950 S0 C"PA1"', "probe.servo", "pin", pin("PA1")),
        ('M950 S3 C"PA1"', "probe.servo", "servo_number", 3.0),
        ('M574 X1 S1 P"^PC0"', "x.endstop", "pin", pin("^PC0", "PC0")),
        ("M574 Z1 S2", "z.endstop", "homing_pin", PinValue("virtual", virtual=True)),
        ('M574 Z1 S1 P"PC2"', "z.endstop", "homing_pin", pin("PC2")),
        ("M574 X1 Y2 S0", "y.endstop", "inverted", True),
        ('M591 D0 P1 C"PC3" S1', "filament.sensor", "pin", pin("PC3")),
        ('M591 D0 P1 C"!PC3" S1', "filament.sensor", "inverted", True),
        ('M591 D0 P2 C"PC3" S1', "filament.sensor", "inverted", True),
        ('M591 D0 P2 C"!PC3" S1', "filament.sensor", "inverted", False),
        ('M591 D0 P2 C"^PC3" S1', "filament.sensor", "pull", "up"),
        ('M591 C"PC3" D0 S1', "filament.sensor", "inverted", False),
        ("M906 X1000 E800:707.106781187", "extruder1.motor", "current_a", 0.5),
        ('M950 P4 C"PB9"', "aux.output", "pin", pin("PB9")),
        ("var limit = 240\nM143 H1 S{var.limit}", "hotend.heater", "max_c", 240.0),
    ],
)
def test_a_letter_claims_its_attribute(
    text: str, role: str, attribute: str, expected: Value | None
) -> None:
    """Each letter comes to the value that the firmware takes, through tools and sensors."""
    found = value(claims_of("gcode", HEAT + text + "\n"), role, attribute)
    assert found == (pytest.approx(expected) if isinstance(expected, float) else expected)


@pytest.mark.parametrize(
    ("role", "attribute", "expected"),
    [
        ("hotend.heater", "max_c", 280.0),
        ("hotend.sensor", "pullup_ohm", 4700.0),
        ("hotend.fan", "threshold_c", 45.0),
        ("hotend.fan", "watches", "hotend.heater"),
        ("bed.heater", "max_power", 1.0),
    ],
)
def test_the_older_commands_claim_by_heater_number(
    role: str, attribute: str, expected: Value
) -> None:
    """Sensors are numbered after their heaters, and heater 0 is the bed's."""
    assert value(claims_of("gcode", OLD), role, attribute) == expected


def test_the_older_commands_leave_pins_to_the_board() -> None:
    """A number is no pin: absence proves nothing."""
    claims = claims_of("gcode", OLD)
    assert claims.find("hotend.heater", "pin") is None
    assert "no M950 command" in claims.doubt("hotend.heater", "pin")
    assert value(claims, "bed.sensor", "table") == SensorValue(
        "", figures=(("beta_k", 3950.0), ("c", 0.0), ("r25_ohm", 100000.0))
    )


def test_the_boards_names_are_pins() -> None:
    """A quoted name comes to the chip pin that the wiring gives it."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    claims = claims_of("gcode", *machine("gcode"), assembly=assembly)
    assert value(claims, "part.fan", "pin") == PinValue("fan2", Place("main", "PB8"))
    assert value(claims, "probe.signal", "pin") == PinValue("^probe", Place("main", "PB1"))


def test_what_a_branch_sets_is_possible_only() -> None:
    """A later command under an open condition makes the certain one uncertain."""
    text = HEAT + "M143 H1 S280\nif move.axes[0].homed\n  M143 H1 S350\n"
    claim = claims_of("gcode", text).find("hotend.heater", "max_c")
    assert claim
    assert "move.axes[0].homed" in claim.doubt


def test_an_expression_that_nobody_can_work_out_is_unknown() -> None:
    """A value of the running machine is never taken for one."""
    claim = claims_of("gcode", HEAT + "M143 H1 S{heat.heaters[1].max}\n").find(
        "hotend.heater", "max_c"
    )
    assert claim
    assert claim.doubt


def test_a_script_not_sent_leaves_what_stands_before_it_open() -> None:
    """A later script can override, an earlier one cannot."""
    claims = claims_of("gcode", HEAT + 'M143 H1 S280\nM98 P"more.g"\nM143 H0 S110\n')
    before, after = claims.find("hotend.heater", "max_c"), claims.find("bed.heater", "max_c")
    assert before
    assert "more.g was not sent" in before.caveat
    assert after
    assert not after.doubt


def test_a_later_command_overrides_and_the_loser_is_told() -> None:
    """Both lines of a repeated limit are at hand."""
    claims = claims_of("gcode", HEAT + "M143 H1 S280\nM143 H1 S250\n")
    told = [(a.value, b.value) for a, b in claims.overridden if a.attribute == "max_c"]
    assert told == [(280.0, 250.0)]


def test_the_clean_machine_leaves_nothing_open() -> None:
    """Every claim of the clean demo is certain, and nothing looks relevant without being known."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    claims = claims_of("gcode", *machine("gcode"), assembly=assembly)
    assert [c for c in claims.all if c.doubt] == []
    assert claims.not_understood == ()
    assert [d.attribute for d in claims.doubts] == ["pullup_ohm"]


def test_a_fan_that_watches_heater_0_has_a_threshold() -> None:
    """Number 0 is a heater, only -1 is none."""
    text = 'M140 H0\nM950 H0 C"bed"\nM950 F1 C"fan1"\nM563 P0 D0 H1 F0\n'
    watching = claims_of("gcode", HEAT + text + "M106 P1 H0 T90\n")
    idle = claims_of("gcode", HEAT + text + "M106 P1 H-1\n")
    found = [c.value for c in watching.all if c.attribute == "threshold_c"]
    assert found == [90.0]
    assert not any(c.attribute == "threshold_c" for c in idle.all)


def test_a_tool_keeps_its_number_beside_one_that_is_not_run() -> None:
    """The second tool stays the second where a branch leaves the first one out."""
    one = HEAT.replace("M563 P0", "if false\n  M563 P0")
    claims = claims_of("gcode", one + 'M950 H2 C"PC9"\nM563 P1 H2\n;M563 P2 H1\n')
    assert value(claims, "hotend1.heater", "pin") == pin("PC9")
    assert value(claims, "hotend.heater", "pin") is None


TWO_ON_ONE = {
    "the sensor of another heater": ('"e0heat" T1', '"e0heat" T0', "hotend.heater", "bed.sensor"),
    "the bed on the hot end's": ('"bed" T0', '"bed" T1', "bed.heater", "hotend.sensor"),
}


@pytest.mark.parametrize("name", TWO_ON_ONE)
def test_a_sensor_is_its_pins_even_where_another_heater_names_it(name: str) -> None:
    """The heater's number is wrong, and not what the sensors' own lines say."""
    old, new, heater, sensor = TWO_ON_ONE[name]
    sources = [Source.of_text(s.name, s.text.replace(old, new)) for s in machine("gcode")]
    claims = claims_of("gcode", *sources, assembly=load(CONFIGS / "marsh-230-c.toml"))
    assert value(claims, heater, "regulated_by") == sensor
    assert value(claims, "bed.sensor", "pin") == PinValue("bedtemp", Place("main", "PC4"))
    assert value(claims, "hotend.sensor", "pin") == PinValue("temp0", Place("main", "PC5"))


@pytest.mark.parametrize(
    ("inputs", "expected"),
    [
        (("", ""), None),
        (("", " X1"), "hotend.sensor"),
        (("", " X0"), "bed.sensor"),
        ((" X0", " X0"), "bed.sensor"),
    ],
)
def test_the_older_commands_name_another_input(
    inputs: tuple[str, str], expected: Value | None
) -> None:
    """An input is the sensor of the heater with its number, which has it without being told."""
    text = OLD.replace("M305 P0", "M305 P0" + inputs[0]).replace("M305 P1", "M305 P1" + inputs[1])
    assert value(claims_of("gcode", text), "hotend.heater", "regulated_by") == expected


@pytest.mark.parametrize("inputs", [(" X1", " X0"), ("", " X2")])
def test_an_input_that_may_be_anybodys_is_unknown(inputs: tuple[str, str]) -> None:
    """Two inputs exchanged may answer to two plugs exchanged; further ones to a further board."""
    text = OLD.replace("M305 P0", "M305 P0" + inputs[0]).replace("M305 P1", "M305 P1" + inputs[1])
    claim = claims_of("gcode", text).find("hotend.heater", "regulated_by")
    assert claim
    assert "is set up" in claim.doubt


def test_what_the_chip_measures_of_itself_needs_no_pin() -> None:
    claims = claims_of("gcode", HEAT + 'M308 S9 P"121.dummy" Y"mcu-temp" A"tool board"\n')
    assert claims.find("board.sensor", "pin") is None
    assert claims.find("board.sensor", "table") is not None


@pytest.mark.parametrize(
    ("channel", "sensor"),
    [("X200", "converter-rtd"), ("X501", "converter-rtd"), ("X101", "converter-thermocouple-any")],
)
def test_a_channel_of_the_older_generation_that_is_a_converter(channel: str, sensor: str) -> None:
    claims = claims_of("gcode", f"M305 P1 {channel} T100000 B4725\nM563 P0 H1\n")
    table = value(claims, "hotend.sensor", "table")
    assert isinstance(table, SensorValue)
    assert table.sensor == sensor
    assert value(claims, "hotend.heater", "protection") is True


def test_another_analog_channel_keeps_its_letters() -> None:
    claims = claims_of("gcode", "M305 P1 X3 T100000 B3950\nM563 P0 H1\n")
    table = value(claims, "hotend.sensor", "table")
    assert isinstance(table, SensorValue)
    assert dict(table.figures)["beta_k"] == 3950


def test_a_fan_that_follows_the_chips_own_heat_cools_the_board() -> None:
    script = OLD + "M305 P100 X1000\nM305 P101 X1001\nM106 P2 H100:101 T40:65\n"
    claims = claims_of("gcode", script)
    assert value(claims, "controller.fan", "watches") == "board.sensor"


def test_a_fan_that_is_switched_off_for_good_says_nothing() -> None:
    claims = claims_of("gcode", OLD + "M106 P3 I-1\n")
    assert not [claim for claim in claims.all if claim.attribute == "inverted"]


@pytest.mark.parametrize(
    ("monitors", "limit"),
    [
        # the lowest that acts counts, monitor 0 with its default where nothing sets it
        ("M143 H1 S275 A0 C0 P1", 275.0),
        ("M143 H1 S300 P1", 290.0),
        ("M143 H1 S260\nM143 H1 P1 S240 A2", 240.0),
        ("M143 H1 S240\nM143 H1 P1 S260", 240.0),
        # without any the firmware stops at 2000 C
        ("M143 H1 C-1", 2000.0),
        ("M143 H1 S250 C-1", 2000.0),
        ("M143 H1 C-1\nM143 H1 P2 S280", 280.0),
        ("M143 H1 C-1\nM143 H1 S250", 250.0),
        # these bound nothing: switched off, from below, no action, another sensor
        ("M143 H1 S260\nM143 H1 P1 S240 C-1", 260.0),
        ("M143 H1 S260\nM143 H1 P1 S10 C1", 260.0),
        ("M143 H1 S260\nM143 H1 P1 S240 A9", 260.0),
        ("M143 H1 S260\nM143 H1 P1 S60 T0", 260.0),
    ],
)
def test_the_lowest_monitor_that_acts_is_the_limit(monitors: str, limit: float) -> None:
    claims = claims_of("gcode", f"{HEAT}{monitors}\n")
    assert value(claims, "hotend.heater", "max_c") == limit
    assert claims.not_understood == ()


@pytest.mark.parametrize(("watch", "line"), [("S0", "S is 0 at"), ("", "is not switched on")])
def test_a_filament_sensor_that_nobody_looks_at(watch: str, line: str) -> None:
    """S0, or no S, leaves it off; its pin is no claim, and the line is told."""
    wired = load(CONFIGS / "marsh-230-c.toml")
    claims = claims_of("gcode", f'{HEAT}M591 D0 P1 C"fil0" {watch}\n', assembly=wired)
    assert claims.find("filament.sensor", "pin") is None
    assert line in claims.switched_off["filament.sensor"].origin


def test_a_doubt_names_the_command_and_not_the_letter_alone() -> None:
    claims = claims_of("gcode", HEAT + "if global.hot\n  M143 H1 S300\n")
    claim = claims.find("hotend.heater", "max_c")
    assert claim is not None
    assert claim.doubt.startswith("M143 H1 S holds only if global.hot")


def test_a_choice_between_two_currents_is_one_motor() -> None:
    claims = claims_of("gcode", HEAT + "M906 E{global.fast ? 500 : 900}\n")
    assert claims.find("extruder.motor", "current_a") is not None
    assert claims.find("extruder1.motor", "current_a") is None


def test_a_fan_follows_the_chips_own_heat_though_no_line_sets_it_up() -> None:
    claims = claims_of("gcode", OLD + "M106 P2 H100 T40:65\n")
    assert value(claims, "controller.fan", "watches") == "board.sensor"


def test_a_converter_is_no_input_of_another_heater() -> None:
    claims = claims_of("gcode", "M305 P1 X200\nM563 P0 H1\n")
    assert claims.find("hotend.heater", "regulated_by") is None


NUMBERED = """
[stock_pins]
"M106 P1" = "PB6"
"M307 H1" = "PC8"
"M305 P1" = "PC5"
"M574 X" = "PC0"
"M558 P4" = "PB1"
"M558 P5" = "PC2"
"M106 P7" = "PB8"
"""


@pytest.fixture
def numbered(tmp_path):
    """Return the demo's wiring with a board that says what its numbers mean."""
    shutil.copytree(CONFIGS, tmp_path / "configs")
    board = tmp_path / "configs" / "boards" / "heron-2.toml"
    text = board.read_text(encoding="utf-8")
    board.write_text(text[: text.index("[stock_pins]")] + NUMBERED, encoding="utf-8")
    return load(tmp_path / "configs" / "marsh-230-c.toml")


def test_a_board_says_which_pin_a_number_means(numbered) -> None:
    script = OLD + "M574 X1 Y1 S1\nM574 Z1 S2\nM558 P4 I1\n"
    claims = claims_of("gcode", script, assembly=numbered)
    pins = {c.role: c.value.place.pin for c in claims.all if c.attribute == "pin" and c.value.place}
    assert pins == {
        "hotend.fan": "PB6",
        "hotend.heater": "PC8",
        "hotend.sensor": "PC5",
        "x.endstop": "PC0",
        "probe.signal": "PB1",
    }
    found = claims.find("hotend.fan", "pin")
    assert found is not None
    assert found.span is not None
    assert found.span.line == 4
    assert value(claims, "probe.signal", "inverted") is True


def test_scripts_that_name_their_pins_need_no_numbers(numbered) -> None:
    claims = claims_of("gcode", HEAT + "M106 P1 H1\n", assembly=numbered)
    fan = value(claims, "hotend.fan", "pin")
    assert isinstance(fan, PinValue)
    assert fan.written == "PB6"
    assert claims.find("x.endstop", "pin") is None


def test_an_axis_without_a_probe_homes_on_the_end_stop_of_its_number(numbered) -> None:
    claims = claims_of("gcode", OLD + "M574 X1 S1\n", assembly=numbered)
    assert value(claims, "x.endstop", "homing_pin").place.pin == "PC0"


def test_a_converters_channel_is_not_the_input_of_the_heaters_number(numbered) -> None:
    script = OLD.replace("M305 P1 T100000 B4725 C7.06e-8 R4700", "M305 P1 X200")
    claims = claims_of("gcode", script, assembly=numbered)
    assert value(claims, "hotend.sensor", "table").sensor == "converter-rtd"
    assert claims.find("hotend.sensor", "pin") is None


BEDS = """M308 S0 P"PC4" Y"thermistor" T100000 B3950
M950 H0 C"PA8" T0
M308 S1 P"PC5" Y"thermistor" T100000 B3950
M950 H1 C"PC8" T1
"""


@pytest.mark.parametrize(
    "bound", ["M140 P0 H0\nM140 P1 H1\n", "M140 P1 H1\nM140 H0\n", "M140 P2 H1\nM140 H0\n"]
)
def test_each_zone_of_a_bed_is_a_bed(bound: str) -> None:
    claims = claims_of("gcode", BEDS + bound + "M143 H0 S110\nM143 H1 S90\n")
    assert value(claims, "bed.heater", "pin") == pin("PA8")
    assert value(claims, "bed1.heater", "pin") == pin("PC8")
    assert value(claims, "bed1.sensor", "pin") == pin("PC5")
    assert value(claims, "bed1.heater", "max_c") == 90.0
    assert claims.overridden == ()


def test_a_bed_told_twice_and_one_without_heater_count_once() -> None:
    claims = claims_of("gcode", BEDS + "M140 H0\nM140 P0 H0\nM140 P1 H-1\nM140 P2 H1\n")
    assert value(claims, "bed.heater", "pin") == pin("PA8")
    assert value(claims, "bed1.heater", "pin") == pin("PC8")


@pytest.mark.parametrize("kind", ["3", "5", "7"])
def test_a_counted_wheel_has_no_level(kind: str) -> None:
    claims = claims_of("gcode", f'M591 D0 P{kind} C"!PC3" S2\n')
    level = claims.find("filament.sensor", "inverted")
    assert level is not None
    assert level.unknown
    assert value(claims, "filament.sensor", "pin") == pin("!PC3", "PC3")


def test_homing_by_the_probe_uses_no_end_stop_of_that_number(numbered) -> None:
    claims = claims_of("gcode", OLD + "M574 X1 S2\n", assembly=numbered)
    assert claims.find("x.endstop", "pin") is None


@pytest.mark.parametrize(
    ("letters", "inverted"),
    [("P5", False), ("P5 I1", True), ("P9", False), ("P1", None), ("P0", None)],
)
def test_a_switch_as_probe_is_turned_round_by_its_letter(letters: str, inverted) -> None:
    assert value(claims_of("gcode", f"M558 {letters}\n"), "probe.signal", "inverted") is inverted


def test_a_heater_number_that_stands_for_no_role_is_said() -> None:
    """From 100 on they are the board's own sensors in older scripts; no board has 800 of them."""
    found = claims_of("gcode", "M106 P2 H906 T45\n")
    (watches,) = (claim for claim in found.all if claim.attribute == "watches")
    assert watches.unknown == "no heater or sensor '906' is known"


@pytest.mark.parametrize(("end", "claimed"), [("X1", True), ("X0", False), ("X2", True)])
def test_end_0_is_no_end_stop_on_the_boards_own_pin(end: str, claimed: bool) -> None:
    shelduck = Path(__file__).parents[1] / "field/machines/shelduck"
    text = (shelduck / "config/config.g").read_text(encoding="utf-8")
    script = Source.of_text("config.g", text.replace("M574 X1 Y1 S1", f"M574 {end} Y1 S1"))
    found = claims_of("gcode", script, assembly=load(shelduck / "assembly.toml"))
    for attribute in ("pin", "homing_pin"):
        assert (found.find("x.endstop", attribute) is not None) == claimed
