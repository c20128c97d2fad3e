"""Changes spelt in the user's own form claim, when read again, what was asked for."""

import pytest
from applied import applied, machine, read
from hypothesis import given, settings
from hypothesis.strategies import floats, sampled_from

from pincheck.claims import Entry, claims, vocabulary
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.numbers import read_flag, read_number, read_word
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim, PinValue, Place, SensorValue, Value
from pincheck.model.finding import Change
from pincheck.model.reading import Reading
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.source import Source
from pincheck.resources import folder
from pincheck.respell.numbers import spell_flag, spell_number, spell_word
from pincheck.respell.places import placements
from pincheck.respell.steps import steps
from pincheck.sensors import from_letters, same_part
from pincheck.styles import of
from pincheck.styles.step import Add, CannotSpellError, Disable, Enable, Replace
from pincheck.wiring.load import load

CONFIGS = folder("configs")
MACHINES: dict[str, str] = {
    "define": "marsh-230-c",
    "section": "marsh-230-c",
    "gcode": "marsh-230-c",
    "section-curlew": "marsh-230-curlew",
}
GLASS = SensorValue("", "ntc-100k-b4267-glass")
OTHER = SensorValue("", "ntc-100k-b4092")


def another(claim: Claim) -> Value | None:
    """Return a value that a claim does not have, None where no other one makes sense."""
    value = claim.value
    if claim.attribute in ("dir_pin", "enable_pin", "uart_pin", "driven_by_tool"):
        return None  # which pin or number it should be, a person is told
    match ATTRIBUTES[claim.attribute].kind:
        case "pin" if isinstance(value, PinValue):
            if claim.attribute == "homing_pin":
                return None if value.virtual else PinValue("", virtual=True)
            assert value.place
            spare = ("gpio20", "gpio21") if value.place.pin.startswith("gpio") else ("PC2", "PC3")
            return PinValue("", Place(value.place.board, spare[value.place.pin == spare[0]]))
        case "sensor" if claim.role != "board.sensor":
            return OTHER
        case "number" if isinstance(value, float) and claim.attribute != "servo_number":
            return value + 1 if value > 1 else value * 0.4 + 0.2
        case "flag" if claim.attribute not in ("protection", "on_command"):
            return not value
        case "word" if claim.attribute == "pull":
            return "none" if value == "up" else "up"
        case "role" if claim.attribute == "regulated_by":
            return "bed.sensor" if value == "hotend.sensor" else "hotend.sensor"
        case "role" if claim.attribute == "blown_by_tool":
            return "hotend.fan"
        case "role" if claim.setting and claim.setting.style != "define":
            return "bed.heater"
    return None


def says(claim: Claim | None, wanted: Value) -> bool:
    """Return whether a claim certainly is what was asked for."""
    if claim is None or claim.doubt:
        return False
    value = claim.value
    if isinstance(value, PinValue) and isinstance(wanted, PinValue):
        return (value.place, value.virtual) == (wanted.place, wanted.virtual)
    if isinstance(value, SensorValue) and isinstance(wanted, SensorValue):
        if not value.sensor:
            figures = dict(value.figures)
            known = from_letters(figures["r25_ohm"], figures["beta_k"], figures["c"])  # type: ignore[arg-type]
            return same_part(known.id, wanted.sensor)
        return same_part(value.sensor, wanted.sensor)
    if isinstance(value, float) and isinstance(wanted, float):
        return value == pytest.approx(wanted, abs=0.0021)
    return value == wanted


CONTROLLED = "#define TEMP_SENSOR_0 5\n#define PIDTEMP\n"


@pytest.mark.parametrize("name", MACHINES)
def test_every_claim_of_the_demo_can_be_changed_and_reads_so_again(name: str) -> None:
    """The round trip over all claims of a machine, one at a time."""
    style: StyleName = name.split("-")[0]  # type: ignore[assignment]
    assembly = load(CONFIGS / f"{MACHINES[name]}.toml")
    sources = machine(name)
    reading = read(style, *sources)
    wrong = []
    tried = 0
    for claim in claims(reading, assembly).all:
        wanted = another(claim)
        if wanted is None:
            continue
        tried += 1
        made = steps([Change(claim.role, claim.attribute, wanted, claim)], reading, assembly)
        after = claims(read(style, *applied(style, sources, made)), assembly)
        if not says(after.find(claim.role, claim.attribute), wanted):
            wrong.append((claim.role, claim.attribute, wanted, made))
    assert wrong == []
    assert tried > 45


@pytest.mark.parametrize(
    ("style", "text", "role", "attribute", "value", "expected"),
    [
        (
            "define",
            "#define TEMP_SENSOR_0 1 // mine\n",
            "hotend.sensor",
            "table",
            GLASS,
            "#define TEMP_SENSOR_0 5 // mine\n",
        ),
        (
            "define",
            f"{CONTROLLED}#define BANG_MAX 255\n#define PID_MAX 200//A8\n",
            "hotend.heater",
            "max_power",
            0.5,
            f"{CONTROLLED}#define BANG_MAX 128\n#define PID_MAX 128//A8\n",
        ),
        (
            "define",
            f"{CONTROLLED}#define BANG_MAX 255\n#define PID_MAX BANG_MAX\n",
            "hotend.heater",
            "max_power",
            0.5,
            f"{CONTROLLED}#define BANG_MAX 128\n#define PID_MAX BANG_MAX\n",
        ),
        (
            "define",
            "#define TEMP_SENSOR_0 5\n#define MPCTEMP\n#define MPC_HEATER_POWER { 40.0f, 50.0f }\n",
            "hotend.heater",
            "heater_w",
            60.0,
            "#define TEMP_SENSOR_0 5\n#define MPCTEMP\n#define MPC_HEATER_POWER { 60.0f, 50.0f }\n",
        ),
        (
            "define",
            "#define BLTOUCH\n#define Z_MIN_PROBE_ENDSTOP_INVERTING true\n",
            "probe.signal",
            "inverted",
            False,
            "#define BLTOUCH\n#define Z_MIN_PROBE_ENDSTOP_INVERTING false\n",
        ),
        (
            "define",
            "#define BLTOUCH\n#define Z_MIN_PROBE_ENDSTOP_HIT_STATE LOW\n",
            "probe.signal",
            "inverted",
            False,
            "#define BLTOUCH\n#define Z_MIN_PROBE_ENDSTOP_HIT_STATE HIGH\n",
        ),
        (
            "define",
            "#define TEMP_SENSOR_0 5\n#define E0_AUTO_FAN_PIN P2_04\n",
            "hotend.fan",
            "pin",
            PinValue("", Place("", "P2.5")),
            "#define TEMP_SENSOR_0 5\n#define E0_AUTO_FAN_PIN P2_05\n",
        ),
        (
            "section",
            "[extruder]\nsensor_type = EPCOS 100K B57560G104F ; old\n",
            "hotend.sensor",
            "table",
            GLASS,
            "[extruder]\nsensor_type = ATC Semitec 104GT-2 ; old\n",
        ),
        (
            "section",
            "[fan]\npin: PB8\nhardware_pwm: TRUE\n",
            "part.fan",
            "software_pwm",
            True,
            "[fan]\npin: PB8\nhardware_pwm: FALSE\n",
        ),
        (
            "section",
            "[fan]\npin: PB8\ncycle_time: 0.01\n",
            "part.fan",
            "pwm_hz",
            500.0,
            "[fan]\npin: PB8\ncycle_time: 0.002\n",
        ),
        (
            "section",
            "[fan]\npin: PB8\nmax_power: 1.\n",
            "part.fan",
            "max_power",
            0.5,
            "[fan]\npin: PB8\nmax_power: 0.5\n",
        ),
        (
            "section",
            "[probe]\npin: !^PB_1\n",
            "probe.signal",
            "inverted",
            False,
            "[probe]\npin: ^PB_1\n",
        ),
        (
            "section",
            "[fan]\npin: PB8\n",
            "part.fan",
            "pwm_hz",
            200.0,
            "[fan]\npin: PB8\ncycle_time: 0.005\n",
        ),
        (
            "define",
            "#define TEMP_SENSOR_0 5\n#define E0_AUTO_FAN_PIN\n",
            "hotend.fan",
            "pin",
            PinValue("PB6", Place("", "PB6")),
            "#define TEMP_SENSOR_0 5\n#define E0_AUTO_FAN_PIN PB6\n",
        ),
        (
            "section",
            "[stepper_z]\nendstop_pin: ^PC2 # old\n",
            "z.endstop",
            "homing_pin",
            PinValue("", virtual=True),
            "[stepper_z]\nendstop_pin: probe:z_virtual_endstop # old\n",
        ),
        (
            "gcode",
            'M574 Z1 S1 P"PC2" ; old\n',
            "z.endstop",
            "homing_pin",
            PinValue("", virtual=True),
            'M574 Z1 S2 P"PC2" ; old\n',
        ),
        (
            "gcode",
            'M950 H1 C"PC8" T1\nM143 H1 S280 ; hot\nM563 P0 H1\n',
            "hotend.heater",
            "max_c",
            250.0,
            'M950 H1 C"PC8" T1\nM143 H1 S250 ; hot\nM563 P0 H1\n',
        ),
        (
            "gcode",
            'M563 P0 H1 F0\nM950 F0 C"PB8"\nM106 P0 L51 H-1\n',
            "part.fan",
            "min_duty",
            0.4,
            'M563 P0 H1 F0\nM950 F0 C"PB8"\nM106 P0 L102 H-1\n',
        ),
        (
            "gcode",
            'M563 P0 H1 F0\nM950 F0 C"PB8"\nM106 P0 L0.2 H-1\n',
            "part.fan",
            "min_duty",
            0.4,
            'M563 P0 H1 F0\nM950 F0 C"PB8"\nM106 P0 L0.4 H-1\n',
        ),
        (
            "gcode",
            "M906 X900 E990:1000\n",
            "extruder1.motor",
            "current_a",
            0.5,
            "M906 X900 E990:707\n",
        ),
        (
            "gcode",
            "M563 P0 H1\nM305 P1 T100000 B3950\n",
            "hotend.sensor",
            "table",
            GLASS,
            "M563 P0 H1\nM305 P1 T100000 B4725 C7.06e-8\n",
        ),
        (
            "gcode",
            'M591 D0 P2 C"PC3" S1\n',
            "filament.sensor",
            "inverted",
            False,
            'M591 D0 P2 C"!PC3" S1\n',
        ),
        (
            "gcode",
            'M591 D0 P2 C"^!PC3" S1\n',
            "filament.sensor",
            "inverted",
            True,
            'M591 D0 P2 C"^PC3" S1\n',
        ),
    ],
)
def test_only_the_value_changes_and_it_keeps_the_users_form(
    style: StyleName, text: str, role: str, attribute: str, value: Value, expected: str
) -> None:
    """Comments, spacing, letter case, number forms and units stay the user's own."""
    reading = read(style, text)
    claim = claims(reading, None).find(role, attribute)
    made = steps([Change(role, attribute, value, claim)], reading, None)
    assert applied(style, reading.sources, made)[0].text == expected


def test_changes_of_one_pin_become_one_step() -> None:
    """Pin, polarity and pull stand in one text and change together."""
    reading = read("section", "[probe]\npin: !PB1\n")
    known = claims(reading, None)
    wanted: list[tuple[str, Value]] = [
        ("pin", PinValue("", Place("", "PB2"))),
        ("inverted", False),
        ("pull", "up"),
    ]
    made = steps(
        [Change("probe.signal", a, v, known.find("probe.signal", a)) for a, v in wanted],
        reading,
        None,
    )
    assert [step.text for step in made if isinstance(step, Replace)] == ["^PB2"]


def test_two_pins_swap() -> None:
    """Each of the two settings gets the other's pin."""
    text = "[fan]\npin: PB6\n[heater_fan hotend_fan]\npin: PB8\n"
    reading = read("section", text)
    known = claims(reading, None)
    changes = [
        Change("part.fan", "pin", PinValue("", Place("", "PB8")), known.find("part.fan", "pin")),
        Change(
            "hotend.fan", "pin", PinValue("", Place("", "PB6")), known.find("hotend.fan", "pin")
        ),
    ]
    made = steps(changes, reading, None)
    after = "[fan]\npin: PB8\n[heater_fan hotend_fan]\npin: PB6\n"
    assert applied("section", reading.sources, made)[0].text == after


ON = "#define TEMP_SENSOR_0 5\n#define HEATER_0_MAXTEMP 270\n"


def test_a_define_that_is_commented_out_is_enabled_in_place() -> None:
    """Protection comes back where the user switched it off."""
    reading = read("define", ON + "//#define THERMAL_PROTECTION_HOTENDS\n")
    claim = claims(reading, None).find("hotend.heater", "protection")
    (step,) = steps([Change("hotend.heater", "protection", True, claim)], reading, None)
    assert isinstance(step, Enable)
    assert (step.setting.key, step.text) == ("THERMAL_PROTECTION_HOTENDS", "")


def test_a_define_that_is_nowhere_is_added_beside_its_kin() -> None:
    """A new line stands behind one that is about the same thing."""
    reading = read("define", ON + "#define OTHER 1\n")
    (step,) = steps([Change("hotend.heater", "protection", True)], reading, None)
    assert isinstance(step, Add)
    assert of("define").written(step) == "#define THERMAL_PROTECTION_HOTENDS"
    assert step.after
    assert step.after.key == "HEATER_0_MAXTEMP"


def test_a_flag_without_a_value_is_commented_out() -> None:
    """A define that is set by being there goes by being commented out."""
    reading = read("define", "#define BLTOUCH\n#define ENDSTOPPULLUPS\n")
    claim = claims(reading, None).find("probe.signal", "pull")
    (step,) = steps([Change("probe.signal", "pull", "none", claim)], reading, None)
    assert isinstance(step, Disable)


def test_a_stock_pin_is_overridden_by_a_line_of_the_users_own() -> None:
    """What the board's header says changes in the user's files only."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    text = ON + "#define EXTRUDER_AUTO_FAN_TEMPERATURE 50\n#define MOTHERBOARD BOARD_HERON_2\n"
    reading = read("define", text)
    claim = claims(reading, assembly).find("part.fan", "pin")
    assert claim
    assert claim.setting is None
    wanted = PinValue("", Place("main", "PB8"))
    made = steps([Change("part.fan", "pin", wanted, claim)], reading, assembly)
    assert [of("define").written(s) for s in made if isinstance(s, Add)] == ["#define FAN_PIN PB8"]
    after = claims(read("define", *applied("define", reading.sources, made)), assembly)
    assert says(after.find("part.fan", "pin"), wanted)


def test_homing_moves_to_the_probe_by_the_names_that_say_so() -> None:
    """The probe's own switch is enabled; the pin of the end stop stays as it is."""
    text = "#define BLTOUCH\n#define Z_HOME_DIR -1\n#define Z_MIN_PIN PC2\n"
    text += "//#define USE_PROBE_FOR_Z_HOMING\n"
    reading = read("define", text)
    claim = claims(reading, None).find("z.endstop", "homing_pin")
    wanted = PinValue("", virtual=True)
    (step,) = steps([Change("z.endstop", "homing_pin", wanted, claim)], reading, None)
    assert isinstance(step, Enable)
    assert step.setting.key == "USE_PROBE_FOR_Z_HOMING"


def test_new_letters_join_a_command_and_saved_blocks_stay_untouched() -> None:
    """What is added stands with its section, never in the block that the firmware writes."""
    text = "[extruder]\nheater_pin: PC8\n" + SAVED
    reading = read("section", text)
    (step,) = steps([Change("hotend.heater", "max_power", 0.5)], reading, None)
    assert isinstance(step, Add)
    assert step.joins
    assert step.after
    assert step.after.key == "heater_pin"


SAVED = """
#*# <---------------------- SAVE_CONFIG ---------------------->
#*# DO NOT EDIT THIS BLOCK OR BELOW. The contents are auto-generated.
#*#
#*# [extruder]
#*# control = pid
"""


PIN = {"define": "PB8", "section": "PB8", "gcode": '"fan2"'}


@pytest.mark.parametrize("style", STYLES)
def test_an_empty_machine_gets_new_settings(style: StyleName) -> None:
    """With no file at all the steps are what a new one needs, in the board's own names."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    change = Change("part.fan", "pin", PinValue("", Place("main", "PB8")))
    (step,) = steps([change], Reading(style, (), ()), assembly)
    assert isinstance(step, Add)
    assert step.text == PIN[style]
    assert step.after is None


@pytest.mark.parametrize(
    ("style", "role", "attribute", "place"),
    [
        ("define", "hotend1.heater", "max_c", ("", "HEATER_1_MAXTEMP")),
        ("define", "hotend.fan", "threshold_c", ("", "EXTRUDER_AUTO_FAN_TEMPERATURE")),
        ("section", "hotend1.heater", "max_c", ("extruder1", "max_temp")),
        ("section", "hotend.fan", "threshold_c", ("heater_fan hotend_fan", "heater_temp")),
        ("section", "y.endstop", "pin", ("stepper_y", "endstop_pin")),
        ("gcode", "hotend.heater", "max_c", ("M143 H1", "S")),
        ("gcode", "bed.heater", "max_c", ("M143 H0", "S")),
        ("gcode", "hotend.fan", "threshold_c", ("M106 P1", "T")),
    ],
)
def test_a_claim_has_its_usual_place(
    style: StyleName, role: str, attribute: str, place: tuple[str, str]
) -> None:
    """Where nothing is written yet, the usual numbers and names are taken."""
    empty = Interpretation(Reading(style, (), ()), None, vocabulary(style))
    found = next(placements(empty, role, attribute))
    assert (found.section, found.key) == place


@pytest.mark.parametrize(
    ("style", "role", "attribute", "value"),
    [
        ("section", "hotend.heater", "overshoot_c", 5.0),
        ("gcode", "hotend.heater", "min_c", 5.0),
        ("section", "hotend.heater", "protection", False),
        ("gcode", "hotend.sensor", "table", SensorValue("", "nobody-knows-it")),
        ("define", "hotend.fan", "pin", PinValue("", Place("elsewhere", "PA1"))),
    ],
)
def test_what_a_style_cannot_say_is_refused_with_a_reason(
    style: StyleName, role: str, attribute: str, value: Value
) -> None:
    """No edit is better than one that says something else."""
    with pytest.raises(CannotSpellError, match=r"\w+ \w+"):
        steps([Change(role, attribute, value)], Reading(style, (), ()), None)


def test_scripts_that_name_things_by_number_can_move_no_pin() -> None:
    old = Source.of_text("config.g", "M305 P1 T100000 B3950\nM106 P1 H1\nM563 P0 D0 H1\n")
    change = Change("hotend.fan", "pin", PinValue("PB6", Place("main", "PB6")))
    with pytest.raises(CannotSpellError, match="no line of theirs can move one"):
        steps([change], read("gcode", old), load(CONFIGS / "marsh-230-c.toml"))


def entries(*readings: str) -> list[Entry]:
    """Return every built-in entry that is read in one of these ways."""
    return [e for style in STYLES for e in vocabulary(style).entries if e.read_as in readings]


OLD = ("", "50", "50.0", ".5", "7.06e-8", "(40)", "40.0f", "{ 5.0f, 6 }", "5:6", "200")


NUMBERS = {(e.read_as, e.scale, e.per): e for e in entries("number", "byte", "duty")}
"""One entry for every way in which a number is read."""


@pytest.mark.parametrize("entry", NUMBERS.values(), ids=lambda e: f"{e.section} {e.key}")
@given(value=floats(0.001, 1000.0), old=sampled_from(OLD))
@settings(max_examples=50, deadline=None)
def test_numbers_read_back(entry: Entry, value: float, old: str) -> None:
    """A number written in place of any old one is the number that was asked for."""
    bytes_ = entry.read_as in ("byte", "duty")
    value = min(value, 1.0) if bytes_ else value
    step = 0.5 / 255 if bytes_ else 0.5 * entry.scale * (entry.scale != 1)
    slack = max(step, 1e-6 * value) * 1.001
    text = spell_number(value, old, entry)
    assert read_number(text, entry) == pytest.approx(value, abs=slack)


@pytest.mark.parametrize("entry", entries("word"), ids=lambda e: f"{e.section} {e.key}")
def test_words_of_every_entry_read_back(entry: Entry) -> None:
    """Every meaning that an entry knows has a word that means it."""
    for value in entry.words.values():
        assert read_word(spell_word(value, entry.words), entry.words) == value


@pytest.mark.parametrize("entry", entries("flag"), ids=lambda e: f"{e.section} {e.key}")
@pytest.mark.parametrize("old", ["true", "False", "ON", "0", "yes"])
@pytest.mark.parametrize("value", [True, False])
def test_flags_of_every_entry_read_back(entry: Entry, old: str, value: bool) -> None:
    """A flag is written in the words and the letter case that stood there."""
    text = spell_flag(value, old, entry)
    assert read_flag(text, entry, bare_says_yes=False) == value
    assert (text.isupper(), text.islower()) == (old.isupper(), old.islower())
