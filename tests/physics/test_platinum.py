"""Platinum against the tables of IEC 60751 and an independent library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rtd_sensor import pt100

from pincheck.physics.curve import OutOfRange
from pincheck.physics.platinum import PlatinumCurve, class_tolerance_k

PT100 = PlatinumCurve(100)

# IEC 60751 table of Pt100, ohm to two places (from memory of the standard's table).
TABLE = {
    -50: 80.31, -40: 84.27, -30: 88.22, -20: 92.16, -10: 96.09, 0: 100.00, 10: 103.90,
    20: 107.79, 25: 109.73, 30: 111.67, 40: 115.54, 50: 119.40, 60: 123.24, 70: 127.08,
    80: 130.90, 90: 134.71, 100: 138.51, 120: 146.07, 150: 157.33, 200: 175.86, 250: 194.10,
    300: 212.05, 350: 229.72, 400: 247.09, 450: 264.18, 500: 280.98, 550: 297.49, 600: 313.71,
}  # fmt: skip

# The standard's equation, ohm to four places.
EQUATION = {
    -200: 18.5201, -100: 60.2558, -40: 84.2707, 0: 100.0, 25: 109.7347, 100: 138.5055,
    150: 157.3251, 200: 175.8560, 250: 194.0981, 300: 212.0515, 400: 247.0920, 500: 280.9775,
    850: 390.4811,
}  # fmt: skip


@pytest.mark.parametrize(("temp_c", "ohm"), TABLE.items())
def test_table_of_the_standard(temp_c, ohm):
    """28 points from -50 to 600 C, to the table's last printed digit."""
    assert PT100.ohm(temp_c) == pytest.approx(ohm, abs=0.00501)


@pytest.mark.parametrize(("temp_c", "ohm"), EQUATION.items())
def test_equation_of_the_standard(temp_c, ohm):
    """13 points from -200 to 850 C, within 0.001 C; Pt1000 is ten times Pt100."""
    assert PT100.temp_c(ohm) == pytest.approx(temp_c, abs=0.001)
    assert PlatinumCurve(1000).ohm(temp_c) == pytest.approx(10 * ohm, abs=0.0006)


@given(st.floats(-200, 850))
def test_agrees_with_an_independent_library(temp_c):
    """rtd-sensor (test only): resistance and temperature, within 0.1 mK."""
    ohm = pt100.celsius_to_resistance(temp_c)
    assert PT100.ohm(temp_c) == pytest.approx(ohm, abs=1e-6)
    assert PT100.temp_c(PT100.ohm(temp_c)) == pytest.approx(temp_c, abs=1e-6)
    assert PT100.temp_c(ohm) == pytest.approx(pt100.resistance_to_celsius(ohm), abs=1e-4)


@given(st.floats(-200, 849.9))
def test_rises_everywhere(temp_c):
    """Hotter is higher in ohm."""
    assert PT100.ohm(temp_c + 0.1) > PT100.ohm(temp_c)


def test_one_ohm_in_the_wires():
    """1 ohm at 250 C: 2.764 K on Pt100, 0.276 K on Pt1000 (IEC 60751's slope there)."""
    pt1000 = PlatinumCurve(1000)
    assert PT100.temp_c(PT100.ohm(250) + 1) - 250 == pytest.approx(2.764, abs=0.003)
    assert pt1000.temp_c(pt1000.ohm(250) + 1) - 250 == pytest.approx(0.276, abs=0.001)


def test_tolerance_classes():
    """IEC 60751 table 3: at 100 C +-0.8 K for class B, +-0.35 K for class A."""
    assert class_tolerance_k(100) == pytest.approx(0.8)
    assert class_tolerance_k(-100, "A") == pytest.approx(0.35)
    with pytest.raises(ValueError, match="tolerance class 'D': allowed are AA, A, B, C"):
        class_tolerance_k(100, "D")


def test_absurd_input_is_refused_by_name():
    """Resistance and temperature name their allowed range."""
    with pytest.raises(ValueError, match="resistance at 0 C -100 ohm: allowed is 1 to 100000 ohm"):
        PlatinumCurve(-100)
    with pytest.raises(OutOfRange, match="the curve holds -200 to 850 C"):
        PT100.ohm(900)
