"""The words and numbers of the three styles for sensors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.believed import worst_error
from pincheck.sensors import catalogue, nearest, sensor, spelled, spellings
from pincheck.sensors.catalogue import assumed

STYLES = ("define", "section", "gcode")
EVERY = [(style, text) for style in STYLES for text in assumed(style)]


@pytest.mark.parametrize(
    ("style", "text", "sensor_id"),
    [
        ("define", "1", "ntc-100k-b4092"),
        ("define", " 5 ", "ntc-100k-b4267-glass"),
        ("define", "11", "ntc-100k-b3950"),
        ("define", "0", "none"),
        ("define", "-1", "amplifier-k-10mv"),
        ("define", "-5", "converter-rtd"),
        ("define", "1047", "pt1000"),
        ("define", "1000", "custom-ntc"),
        ("section", "EPCOS 100K B57560G104F", "ntc-100k-b4092"),
        ("section", "ATC Semitec 104GT-2", "ntc-100k-b4267-glass"),
        ("section", "atc  semitec 104gt-2", "ntc-100k-b4267-glass"),
        ("section", "temperature_mcu", "digital-mcu"),
        ("gcode", '"thermistor"', "custom-ntc"),
        ("gcode", "RTD-MAX31865", "converter-rtd"),
        ("gcode", "mcu-temp", "digital-mcu"),
    ],
)
def test_users_words_reach_the_part(style, text, sensor_id):
    """Blanks, case and quotes do not matter."""
    assert spelled(style, text).id == sensor_id


@pytest.mark.parametrize("text", ["", "997", "12345", "chamber_probe", "\x00", "1.0", "--1"])
@pytest.mark.parametrize("style", STYLES)
def test_what_nobody_knows_is_unknown(style, text):
    """No guess."""
    assert spelled(style, text) is None


@given(st.text(max_size=40))
def test_any_text_is_known_or_unknown(text):
    """Never an error."""
    assert all(spelled(style, text) is None or True for style in STYLES)
    assert all(isinstance(nearest(style, text), str) for style in STYLES)


def test_an_unknown_style_is_an_error():
    """A style without a table in the data file."""
    with pytest.raises(KeyError):
        spelled("binary", "1")


@pytest.mark.parametrize(("style", "text"), EVERY)
def test_right_sensor_reads_right(style, text):
    """The part that a spelling names, with the pull-up it assumes, errs by less than 3 K.

    More by what it is not known by, and a class as well by what its curves differ.
    """
    claimed = spelled(style, text)
    part = sensor(claimed.id)
    if claimed.curve is None or claimed.pullup_ohm is None:
        assert claimed.reason or claimed.thermocouple or claimed.amplifier or style == "gcode"
        return
    divider = claimed.divider()
    if part.curve is None:
        return
    top_c = min(250, part.max_c or 250, claimed.curve.high_c)
    at_c, error_c = worst_error(part.curve, divider, claimed.curve, divider, 25, top_c)
    assert abs(error_c) < 3 or (part.modelled and abs(error_c) < 3.5 * part.uncertainty_k(at_c))


def test_pull_ups_that_numbers_assume():
    """The style's own 4.7 k, and the numbers made for another value; a script leaves it open."""
    ohms = {
        text: spelled("define", text).pullup_ohm for text in ("1", "5", "51", "55", "1022", "8")
    }
    assert ohms == {"1": 4700, "5": 4700, "51": 1000, "55": 1000, "1022": 2200, "8": 10000}
    assert spelled("section", "PT1000").pullup_ohm == 4700
    assert spelled("gcode", "pt1000").pullup_ohm is None


def test_the_way_back_gives_the_preferred_spelling_first():
    """What an edit proposes."""
    assert spellings("define", sensor("ntc-100k-b4267-glass")) == ("5", "55")
    assert spellings("define", sensor("ntc-100k-b4267-glass"), 4700) == ("5",)
    assert spellings("define", sensor("ntc-100k-b4267-glass"), 2200) == ()
    assert spellings("define", sensor("ntc-100k-b4300-glass"), 4700) == ("5",)
    assert spellings("define", sensor("pt1000"), 1000) == ("1010",)
    assert spellings("define", sensor("ntc-100k-b3950"), 4700) == ("61",)
    assert spellings("define", sensor("ntc-100k-b3950"), 4700, 110.0)[:2] == ("11", "61")
    assert spellings("section", sensor("ntc-100k-b3950")) == ("Generic 3950",)
    assert spellings("gcode", sensor("ntc-100k-b3950")) == ("thermistor",)
    assert spellings("section", sensor("ntc-1m-b4608-glass")) == ()


@pytest.mark.parametrize("style", STYLES)
def test_both_ways_meet(style):
    """Whatever is proposed for a part is read back as that part or one that it serves as well."""
    for sensor_id, part in catalogue().items():
        for text in spellings(style, part):
            back = spelled(style, text)
            assert back.kind == part.kind
            assert back.id in (sensor_id, *part.interchangeable, "custom-ntc")


def test_a_slip_of_the_pen_has_a_nearest_spelling():
    """In the exact form that the file must have."""
    assert nearest("section", "ATC Semitec 104-GT2") == "ATC Semitec 104GT-2"
    assert nearest("section", "Generic 3590") == "Generic 3950"
    assert nearest("gcode", "termistor") == "thermistor"
    assert nearest("section", "chamber") == ""


def test_a_sensor_supply_apart_from_the_reference():
    """Number 331 scales for 3.3 V over a 5 V converter; on 3.3 V it reads the part far too cold."""
    claimed, bead = spelled("define", "331"), sensor("ntc-100k-b4092")
    right = claimed.divider()
    assert worst_error(bead.curve, right, claimed.curve, right, 25, 250)[1] == pytest.approx(0)
    _, error_c = worst_error(bead.curve, bead.divider(), claimed.curve, right, 150, 250)
    assert error_c < -20
