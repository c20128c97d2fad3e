"""Each numbered table of the define style: curve, span, source, and how far off it is at most.

`NUMBERS` says of each table what was read in the style's public tables (in steps of a 10-bit
converter): by how many K a plain curve, named beside it, reads more than the table does at 25, 60,
100, 150, 200, 240, 260 and 300 C, and where the table ends. From these the resistances are worked
out here with the plain laws alone, and held against the curve that is taken for the number.
"""

import math

import pytest

from pincheck.physics.curve import OutOfRange
from pincheck.sensors import READS_RIGHT_K, catalogue, misread_k, sensor, spelled, spellings
from pincheck.sensors.catalogue import assumed

AT_C = (25, 60, 100, 150, 200, 240, 260, 300)
PLAIN = {
    "4092": ((25, 100000), (150, 1641.9), (250, 226.15)),
    "3950/98k": ((25, 98000), (120, 3644), (250, 204.8)),
    "500k": ((25, 500000), (200, 3734), (400, 240)),
    "4485": ((25, 100000), (50, 31230), (125, 2066)),
    "beta 3950": (100000, 3950),
    "beta 3960": (100000, 3960),
    "beta 3974": (100000, 3974),
    "beta 4100": (100000, 4100),
    "beta 4120": (100000, 4120),
    "beta 4700": (100000, 4700),
    "10 k": (10000, 3950),
}
# number: plain law, K over the table at each of AT_C, ends, pull-up, K that the curve may be off
NUMBERS = {
    "1": ("4092", (0.0, -0.1, -0.4, -0.7, -0.7, -1.2, -1.1, -0.6), (-15, 350), 4700, 1.2),
    "3": ("beta 4120", (1.5, -0.8, -0.7, 1.2, 5.2, 10.1, 13.8, 24.3), (-20, 864), 4700, 0.1),
    "4": ("10 k", (0.6, 0.6, 0.6, -9.9, -51.0, -82.1, -96.8, -123.6), (-35, 430), 4700, 123.6),
    "6": ("4092", (-8.9, -2.4, 0.9, -3.5, -10.1, -5.0, -4.8, -6.8), (0, 350), 8200, 10.1),
    "7": ("beta 3974", (0.2, 0.4, -0.3, -0.5, -1.2, -2.7, -3.1, -3.8), (0, 941), 4700, 0.7),
    "8": ("beta 3950", (1.4, 0.2, 0.4, 1.0, -3.2, -19.8, -37.0, -70.9), (0, 704), 10000, 71),
    "9": ("beta 3960", (0.4, 0.8, -0.1, 0.0, -0.3, -1.3, -3.9, -0.3), (0, 936), 4700, 2.9),
    "10": ("beta 3960", (0.4, 0.8, -0.1, 0.4, 0.5, -1.1, -3.7, -0.2), (0, 929), 4700, 2.7),
    "11": ("beta 3950", (0.0, 0.9, 0.0, 0.9, 0.4, 0.1, 0.1, -1.0), (-27, 938), 4700, 1.0),
    "12": ("beta 4700", (0.0, -0.2, -1.5, 1.3), (-40, 180), 4700, 1.5),
    "13": ("3950/98k", (0.9, 0.4, 0.6, -0.7, 0.3, -0.1, -0.5, -1.5), (0, 300), 4700, 1.5),
    "14": ("4092", (-0.5, 2.9, 9.1, 15.8, 21.8, 23.9, 25.1), (-15, 275), 4700, 0.1),
    "30": ("beta 3950", (1.0, 7.3, 17.8, 3.5, -42.3, -78.8, -96.9, -133.1), (-15, 938), 4700, 0.1),
    "51": ("4092", (-0.3, 0.2, -0.1, -0.4, -0.4, -0.5, -2.6, 3.0), (-5, 350), 1000, 3.0),
    "60": ("beta 3950", (0.4, 0.9, 0.6, 0.6, 0.2, 0.1, 0.1), (0, 272), 4700, 0.9),
    "61": ("beta 3950", (0.0, 0.1, 1.9, 6.9, 15.4, 24.9, 30.0, 42.3), (-40, 400), 4700, 1.9),
    "67": ("500k", (1.2, 0.3, 0.3, 0.6, 0.0, -2.7, -2.9, -0.4), (0, 500), 4700, 2.9),
    "71": ("beta 3974", (-0.5, -0.2, 0.0, 0.0, 0.2, 0.2, 0.2, 0.2), (0, 300), 4700, 0.5),
    "75": ("beta 4100", (-0.5, -1.9, -2.2, -0.3, 4.2), (0, 200), 4700, 0.9),
    "99": ("beta 3950", (0.1, 0.7, 3.3, 9.0, 17.4, 26.2, 31.3, 42.9), (0, 350), 10000, 0.2),
    "331": ("4092", (0.0, -0.1, -0.4, -0.7, -0.7, -1.2, -1.1, -0.6), (-15, 300), 4700, 1.2),
    "2000": ("4485", (-0.4, -0.2, -0.1), (-20, 125), 4700, 0.4),
}  # fmt: skip
# tables of glass beads, over the published tables 104GT and 105GT: K off at most, and the ends
GLASS = {"2": (1.6, 0, 848), "5": (0.5, 0, 713), "52": (0.4, 0, 500), "55": (0.8, 0, 500)}
NOTHING_KNOWN = ("56", "76", "98", "127", "510")


def plain_ohm(law: str, temp_c: float) -> float:
    """The beta equation, or Steinhart-Hart by solving its cubic with halving."""
    kelvin, figures = temp_c + 273.15, PLAIN[law]
    if len(figures) == 2:
        r25_ohm, beta_k = figures
        return r25_ohm * math.exp(beta_k * (1 / kelvin - 1 / 298.15))
    # a + b x + c x^3 through three points, by elimination
    (x1, y1), (x2, y2), (x3, y3) = ((math.log(r), 1 / (t + 273.15)) for t, r in figures)
    u, v = (y2 - y1) / (x2 - x1), (y3 - y1) / (x3 - x1)
    c = (v - u) / ((x3 - x2) * (x1 + x2 + x3))
    b = u - c * (x1**2 + x1 * x2 + x2**2)
    a = y1 - b * x1 - c * x1**3
    low, high = 0.0, 30.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if a + b * middle + c * middle**3 < 1 / kelvin else (low, middle)
    return math.exp(low)


@pytest.mark.parametrize("number", NUMBERS)
def test_each_number_reads_as_the_styles_own_table(number):
    """Within what is stated here and, to 0.1 K, within what the catalogue says it is known by."""
    law, over_k, ends, pullup_ohm, most_k = NUMBERS[number]
    row = spelled("define", number)
    assert (row.reads_c, row.pullup_ohm) == (ends, pullup_ohm)
    off = {}
    for at_c, over in zip(AT_C, over_k, strict=False):
        ohm = plain_ohm(law, at_c + over)
        held = max(ohm, row.curve.ohm(row.curve.high_c))
        off[at_c] = row.curve.temp_c(held) - at_c
        assert abs(off[at_c]) <= row.uncertainty_k(at_c) + 0.1, at_c
    assert max(map(abs, off.values())) == pytest.approx(most_k, abs=0.15)


@pytest.mark.parametrize("number", GLASS)
def test_each_glass_table_ends_where_the_styles_does(number):
    most_k, low_c, high_c = GLASS[number]
    row = spelled("define", number)
    assert row.reads_c == (low_c, high_c)
    assert max(row.uncertainty_k(at) for at in AT_C) == most_k


@pytest.mark.parametrize("number", [*NUMBERS, *GLASS])
def test_no_table_reads_past_its_ends(number):
    """Whatever is hotter or colder reads its end."""
    row = spelled("define", number)
    low_c, high_c = row.reads_c
    assert row.curve.low_c >= low_c
    assert row.curve.high_c <= high_c
    with pytest.raises(OutOfRange):
        row.curve.ohm(high_c + 1)


def test_every_number_has_a_curve_or_a_reason_and_the_new_ones_claim_nothing():
    for number, row in assumed("define").items():
        assert row.curve or row.reason or row.thermocouple or row.amplifier, number
    rows = [spelled("define", number) for number in NOTHING_KNOWN]
    assert all(row.curve is None and "nothing is known" in row.reason for row in rows)


PARTS = [row for row in catalogue().values() if row.curve and row.kind in ("ntc", "platinum")]


@pytest.mark.parametrize("style", ["define", "section"])
@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.id)
def test_no_spelling_is_proposed_that_reads_a_part_worse_than_another(part, style):
    """The first word misreads it by no more than a whole K over the best, and by 5 K at most."""
    for pullup_ohm in (1000.0, 2200.0, 4700.0, 10000.0):
        words = spellings(style, part, pullup_ohm)
        off_k = [misread_k(part, spelled(style, word)) for word in words]
        if words:
            assert off_k[0] <= READS_RIGHT_K
            assert off_k[0] < min(off_k) + 1


def test_one_bead_is_read_by_the_two_words_of_a_class_as_differently_as_they_are():
    """At 250 C the three points have 230 ohm, for which the beta equation reads
    1 / (1/298.15 + ln(230 / 100000) / 3950) = 550.6 K = 277.5 C.
    """
    bead = sensor("ntc-100k-b3950")
    assert misread_k(bead, spelled("section", "Generic 3950")) < 0.01
    assert misread_k(bead, spelled("section", "NTC 100K beta 3950")) == pytest.approx(27.5, abs=0.1)
