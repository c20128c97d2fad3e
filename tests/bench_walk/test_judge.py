"""Typed readings and what they mean."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.bench import WalkStep, judge, parse
from pincheck.bench.step import ReadingError, figure


@pytest.mark.parametrize(
    ("typed", "unit", "reading"),
    [
        ("14.6", "ohm", 14.6),
        ("14,6 ohm", "ohm", 14.6),
        (" 98k ", "ohm", 98_000),
        ("98.2 kohm", "ohm", 98_200),
        ("4k7", "ohm", 4_700),
        ("1R5", "ohm", 1.5),
        ("1.2 M", "ohm", 1_200_000),
        (".8", "ohm", 0.8),
        ("OL", "ohm", math.inf),
        ("open", "ohm", math.inf),
        ("24.1V", "V", 24.1),
        ("850 mV", "V", 0.85),
        ("-3", "C", -3.0),
        ("21.5 C", "C", 21.5),
        ("21 °C", "C", 21.0),
        ("12 s", "s", 12.0),
    ],
)
def test_readings_are_taken_as_meters_show_them(typed, unit, reading):
    assert parse(typed, unit) == pytest.approx(reading)


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("", "ohm"),
        ("warm", "C"),
        ("open", "V"),
        ("14 V", "ohm"),
        ("12k", "V"),
        ("4.7k3", "ohm"),
        ("1e5", "ohm"),
        ("nan", "C"),
        ("1" * 400, "ohm"),
        ("14 \x1b[31m", "ohm"),
    ],
)
def test_what_is_no_reading_is_refused_with_the_unit(typed, unit):
    with pytest.raises(ReadingError, match=unit):
        parse(typed, unit)


def step(low, high):
    return WalkStep("x", "off", "", "x", "measure", (), "ohm", low, high, (), "a short", "a break")


@pytest.mark.parametrize(
    ("low", "high", "reading", "state"),
    [
        (13.8, 15.7, 13.8, "agrees"),
        (13.8, 15.7, 15.7, "agrees"),
        (13.8, 15.7, 13.79, "contradicts"),
        (13.8, 15.7, math.inf, "contradicts"),
        (1e6, None, math.inf, "agrees"),
        (1e6, None, 12.0, "contradicts"),
        (None, 2.0, 0.3, "agrees"),
        (None, 2.0, math.inf, "contradicts"),
    ],
)
def test_the_ends_of_a_band_belong_to_it(low, high, reading, state):
    typed = "open" if reading == math.inf else str(reading)
    assert judge(step(low, high), typed).state == state


def test_a_reading_outside_says_on_which_side_and_what_that_means():
    assert judge(step(13.8, 15.7), "7.2").said.endswith("13.8 to 15.7 ohm: a short")
    assert "open is above" in judge(step(13.8, 15.7), "open").said
    assert judge(step(13.8, 15.7), "open").said.endswith("a break")


def test_what_is_looked_at_is_answered_with_yes_or_no():
    look = WalkStep("x", "on", "", "x", "look", too_low="swap the plugs")
    assert judge(look, "Yes").state == judge(look, " y ").state == "agrees"
    assert judge(look, "no").state == "contradicts"
    assert judge(look, "no").said.endswith("swap the plugs")
    with pytest.raises(ReadingError, match="yes or no"):
        judge(look, "12")


@given(st.floats(0.01, 9e6))
def test_a_shown_resistance_can_be_typed_back(ohm):
    digit = 0.0051 if ohm < 1 else 0.051
    assert parse(figure(ohm, "ohm"), "ohm") == pytest.approx(ohm, rel=0.01, abs=digit)
