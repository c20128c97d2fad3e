"""Motor currents, sense resistors and heat, by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.motor import internal_ohm, peak_a, real_rms_a, rms_a, winding_loss_w


def test_peak_and_rms():
    """1 A RMS has peaks of 1.414 A."""
    assert peak_a(1) == pytest.approx(1.4142, abs=5e-5)


@pytest.mark.parametrize(
    ("driver", "ohm"),
    [("tmc2209", 0.02), ("TMC2130", 0.02), ("", 0.02), ("tmc5160", 0.0), ("TMC2660", 0.0)],
)
def test_only_drivers_with_their_transistors_inside_add_a_resistance(driver, ohm):
    """Current laws of the data sheets, from memory."""
    assert internal_ohm(driver) == ohm


def test_a_wrong_sense_resistor_scales_the_current():
    """0.8 A x (0.11 + 0.02) / (0.05 + 0.02) = 1.486 A."""
    assert real_rms_a(0.8, assumed_ohm=0.11, fitted_ohm=0.05) == pytest.approx(1.486, abs=5e-4)
    assert real_rms_a(1.0, 0.075, 0.05, own_ohm=0.0) == pytest.approx(1.5)


def test_winding_loss():
    """2 x 1.2^2 x 1.5 = 4.32 W."""
    assert winding_loss_w(1.2, 1.5) == pytest.approx(4.32)


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
        (lambda: real_rms_a(1, 110, 0.1), "sense resistor 110 ohm: allowed is 0.001 to 10 ohm"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
