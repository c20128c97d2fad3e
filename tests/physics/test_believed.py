"""What firmware believes, against figures computed apart from this code."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.believed import (
    believed_c,
    reading,
    readings,
    resolution_c,
    true_c_when,
    unnoticed,
    worst_error,
)
from pincheck.physics.curve import OutOfRange
from pincheck.physics.divider import Divider, RtdAmplifier
from pincheck.physics.ntc import BetaCurve
from pincheck.physics.platinum import PlatinumCurve
from pincheck.sensors import sensor

GLASS = sensor("ntc-100k-b4267-glass").curve
BEAD = sensor("ntc-100k-b4092").curve
D47, D22 = Divider(4700), Divider(2200)
PT100, PT1000 = PlatinumCurve(100), PlatinumCurve(1000)


@pytest.mark.parametrize(
    ("true_c", "taken_47", "taken_22"),
    [(100, 25.5, -22.7), (200, 40.2, -34.7), (250, 49.3, -41.7)],
)
def test_wrong_pull_up(true_c, taken_47, taken_22):
    """The pull-up that is fitted against the one that the firmware takes, on Semitec 104GT.

    By hand at 250 C (174 ohm): the ratio to the pull-up is kept, so 4.7 k taken for 2.2 k is
    174 x 2200/4700 = 81.45 ohm = 299.3 C, the reverse 174 x 4700/2200 = 371.7 ohm = 208.3 C.
    """
    assert believed_c(true_c, GLASS, D47, GLASS, D22) - true_c == pytest.approx(taken_47, abs=0.06)
    assert believed_c(true_c, GLASS, D22, GLASS, D47) - true_c == pytest.approx(taken_22, abs=0.06)


@pytest.mark.parametrize(
    ("beta_k", "error_c"), [(3950, 49.8), (4092, 32.0), (4267, 13.1), (4725, -25.5)]
)
def test_a_pure_beta_is_far_off_at_250(beta_k, error_c):
    """The glass part (174 ohm at 250 C, Semitec 104GT) through the beta equation.

    By hand for 3950: 1/T = 1/298.15 + ln(0.00174)/3950 = 0.0017453, T = 572.97 K = 299.8 C.
    """
    beta = BetaCurve(100000, 25, beta_k)
    assert believed_c(250, GLASS, D47, beta, D47) - 250 == pytest.approx(error_c, abs=0.06)


def test_resolution():
    """104GT at 250 C with 10 bits: 1.685 K a count on 4.7 k, 0.854 K on 2.2 k (within 0.3 %)."""
    assert resolution_c(250, GLASS, Divider(4700, 10)) == pytest.approx(1.685, rel=0.003)
    assert resolution_c(250, GLASS, Divider(2200, 10)) == pytest.approx(0.854, rel=0.003)
    twelve, ten = Divider(4700, 12), Divider(4700, 10)
    ratio = resolution_c(100, GLASS, ten) / resolution_c(100, GLASS, twelve)
    assert ratio == pytest.approx(4095 / 1023, rel=1e-3)


def test_platinum_of_the_wrong_size():
    """Pt1000 read as Pt100 on a reference of 430: past full scale; on 4300 and 430 it agrees."""
    assert reading(100, PT1000, RtdAmplifier(430), PT100, RtdAmplifier(430)).end == "high"
    row = reading(100, PT1000, RtdAmplifier(4300), PT100, RtdAmplifier(430))
    assert row.believed_c == pytest.approx(100)
    assert row.end == ""


def test_wrong_reference_resistor():
    """Pt100 at 200 C, reference 430 taken as 400: 175.856 x 400/430 = 163.587 ohm = 166.8 C."""
    seen = believed_c(200, PT100, RtdAmplifier(430), PT100, RtdAmplifier(400))
    assert seen == pytest.approx(166.8, abs=0.05)


def test_a_reading_inside_the_limits_goes_unnoticed():
    """-50 C is inside -250 to 300 C but below 5 C; a limit at the very reading still trips."""
    assert unnoticed(-50, -250, 300)
    assert not unnoticed(-50, 5, 300)
    assert not unnoticed(-50, -50, 300)


def test_outside_the_assumed_curve_the_end_is_read_and_told():
    """The glass part at 300 C through the beta equation of 3950 reads past its end at 320 C."""
    row = reading(300, GLASS, D47, BetaCurve(100000, 25, 3950, 0, 320), D47)
    assert (row.believed_c, row.end) == (320, "high")


def test_outside_the_fitted_curve_is_the_callers_error():
    """Nothing is known of the glass part at 350 C."""
    with pytest.raises(OutOfRange):
        believed_c(350, GLASS, D47, GLASS, D47)


def test_worst_error_and_direction():
    """Bead taken for glass over 25 to 250 C: too cold, worst at the hot end (174 ohm is 250 C)."""
    true_c, error_c = worst_error(BEAD, D47, GLASS, D47, 25, 250)
    assert true_c == 250
    assert error_c == pytest.approx(GLASS.temp_c(226.15) - 250)
    assert error_c < -10


def test_readings_cover_the_range_with_both_ends():
    """Steps of 7 K from 0 to 20 C end at 20; the range is cut to what the part's curve holds."""
    assert [row.true_c for row in readings(GLASS, D47, BEAD, D47, 0, 20, 7)] == [0, 7, 14, 20]
    assert [row.true_c for row in readings(GLASS, D47, BEAD, D47, 290, 400, 5)] == [290, 295, 300]
    assert list(readings(GLASS, D47, BEAD, D47, 310, 400)) == []
    with pytest.raises(ValueError, match="range 310 to 400 C: allowed"):
        worst_error(GLASS, D47, BEAD, D47, 310, 400)
    with pytest.raises(ValueError, match="step 0 K: allowed"):
        list(readings(GLASS, D47, BEAD, D47, step_c=0))


@given(st.floats(-50, 300), st.floats(500, 20000))
def test_what_agrees_reads_true(true_c, pullup_ohm):
    """The same curve and pull-up on both sides: no error anywhere."""
    divider = Divider(pullup_ohm)
    assert believed_c(true_c, GLASS, divider, GLASS, divider) == pytest.approx(true_c, abs=1e-6)


@given(st.floats(30, 240), st.floats(1000, 10000))
def test_the_true_temperature_behind_a_shown_one(true_c, pullup_ohm):
    """`true_c_when` undoes `believed_c` where neither curve ends."""
    row = reading(true_c, BEAD, D47, GLASS, Divider(pullup_ohm))
    if row.end == "":
        back = true_c_when(row.believed_c, BEAD, D47, GLASS, Divider(pullup_ohm))
        assert back.true_c == pytest.approx(true_c, abs=1e-6)
        assert back.error_c == pytest.approx(row.error_c, abs=1e-6)
