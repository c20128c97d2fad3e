"""Motor currents against driver, sense resistor and contact, by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.motor import (
    MotorLoad,
    load,
    peak_a,
    real_rms_a,
    rms_a,
    sense_limit_rms_a,
    winding_loss_w,
)


def test_peak_and_rms():
    """1 A RMS has peaks of 1.414 A."""
    assert peak_a(1) == pytest.approx(1.4142, abs=5e-5)


@pytest.mark.parametrize(("sense", "limit"), [(0.11, 1.77), (0.075, 2.42), (0.22, 0.96)])
def test_the_sense_resistor_limits_the_current(sense, limit):
    """0.325 / (0.11 + 0.02) / 1.414 = 1.77 A; tabulated in the TMC2209 data sheet (from memory).

    0.325 / 0.095 / 1.414 = 2.42 A, 0.325 / 0.24 / 1.414 = 0.96 A.
    """
    assert sense_limit_rms_a(sense) == pytest.approx(limit, abs=5e-3)


def test_a_wrong_sense_resistor_scales_the_current():
    """0.8 A x (0.11 + 0.02) / (0.05 + 0.02) = 1.486 A."""
    assert real_rms_a(0.8, assumed_ohm=0.11, fitted_ohm=0.05) == pytest.approx(1.486, abs=5e-4)


def test_winding_loss():
    """2 x 1.2^2 x 1.5 = 4.32 W."""
    assert winding_loss_w(1.2, 1.5) == pytest.approx(4.32)


def test_a_motor_on_its_driver_and_contact():
    """1.2 A on a driver of 1.5 A RMS: 80 %; the contact of 1.5 A sees 1.697 A: 113 %."""
    assert load(1.2, driver_rms_a=1.5, contact_a=1.5) == MotorLoad(
        1.2, pytest.approx(1.6971, abs=5e-5), pytest.approx(0.8), pytest.approx(1.1314, abs=5e-5)
    )


def test_an_unknown_rating_gives_no_ratio():
    """What is not known is not judged."""
    assert load(1.0).driver_ratio is None
    assert load(1.0).contact_ratio is None


@given(st.floats(0, 10))
def test_rms_and_peak_are_inverses(amps):
    """There and back."""
    assert rms_a(peak_a(amps)) == pytest.approx(amps)


@given(st.floats(0, 5), st.floats(0.01, 1))
def test_the_assumed_resistor_gives_the_set_current(amps, ohm):
    """No difference, no change."""
    assert real_rms_a(amps, ohm, ohm) == pytest.approx(amps)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: peak_a(800), "current 800 A: allowed is 0 to 500 A"),
        (lambda: sense_limit_rms_a(110), "sense resistor 110 ohm: allowed is 0.001 to 10 ohm"),
        (lambda: load(1, driver_rms_a=0), "rated current 0 A"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
