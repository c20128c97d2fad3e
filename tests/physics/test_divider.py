"""The divider and the RTD converter by hand calculation, and both ways."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.divider import Divider, RtdAmplifier, full_scale, parallel_ohm


def test_by_hand():
    """4700 ohm on 4700: a half. 100 ohm in the sensor's wire: 4800/9500."""
    assert Divider(4700).fraction(4700) == pytest.approx(0.5)
    assert Divider(4700, series_ohm=100).fraction(4700) == pytest.approx(4800 / 9500)
    assert Divider(4700).fraction(math.inf) == 1
    assert full_scale(Divider(4700, bits=10)) == 1023


def test_pull_up_to_a_higher_voltage_saturates():
    """5 V over a 3.3 V converter: 10 k on 4.7 k is 5 x 10/14.7 = 3.40 V, past full scale."""
    divider = Divider(4700, scale=5 / 3.3)
    assert divider.fraction(10000) == 1
    assert divider.fraction(1000) == pytest.approx(5 / 3.3 * 1000 / 5700)
    assert divider.ohm_at(1) == pytest.approx(4700 * 0.66 / 0.34)


def test_rtd_converter_by_hand():
    """109.7347 ohm on a reference of 430: 0.255197 of full scale; at the reference, full scale."""
    amplifier = RtdAmplifier(430)
    assert amplifier.fraction(109.7347) == pytest.approx(0.255197, abs=1e-6)
    assert amplifier.fraction(1097.347) == 1.0
    assert amplifier.ohm_at(0.5) == 215


@given(
    st.floats(100, 1e5),
    st.integers(8, 16),
    st.floats(0, 1000),
    st.floats(0.2, 1),
    st.floats(1, 1e6),
)
def test_inverts(pullup_ohm, bits, series_ohm, scale, ohm):
    """The ohm behind the share are the ohm that made them."""
    divider = Divider(pullup_ohm, bits, 1.0, series_ohm, scale)
    assert divider.ohm_at(divider.fraction(ohm)) == pytest.approx(ohm, rel=1e-6, abs=1e-6)


@given(st.floats(1, 1e6), st.floats(1.001, 2))
def test_rises_with_resistance(ohm, factor):
    """A larger share, never past full scale."""
    divider = Divider(4700)
    assert divider.fraction(ohm) < divider.fraction(ohm * factor) <= 1


def test_parallel_pull_ups():
    """Two boards' 4.7 k on one wire are 2.35 k."""
    assert parallel_ohm(4700, 4700) == pytest.approx(2350)
    with pytest.raises(ValueError, match="resistor 0 ohm: allowed is"):
        parallel_ohm(4700, 0)
    with pytest.raises(ValueError, match="allowed are 1 or more"):
        parallel_ohm()


@pytest.mark.parametrize(
    ("make", "quantity"),
    [
        (lambda: Divider(0), "pull-up 0 ohm: allowed is 1 to 1e\\+07 ohm"),
        (lambda: Divider(math.nan), "pull-up nan ohm"),
        (lambda: Divider(4700, bits=40), "converter resolution 40 bits: allowed is 4 to 24 bits"),
        (lambda: Divider(4700, tolerance_pct=-1), "pull-up tolerance -1 %"),
        (lambda: Divider(4700, series_ohm=-1), "series resistance -1 ohm"),
        (lambda: Divider(4700, scale=0), "scale of the divider 0: allowed is 0.01 to 1000"),
        (lambda: Divider(4700).fraction(-1), "resistance -1 ohm: allowed"),
        (lambda: Divider(4700).ohm_at(2), "fraction of full scale 2: allowed is 0 to 1"),
        (lambda: RtdAmplifier(0), "reference resistor 0 ohm"),
    ],
)
def test_absurd_input_is_refused_by_name(make, quantity):
    """The message names the quantity and what is allowed."""
    with pytest.raises(ValueError, match=quantity):
        make()
