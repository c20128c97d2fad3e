"""A heater's power and current, by Ohm's law and by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.heater import (
    ToleranceBand,
    current_a,
    element_ohm,
    power_band_w,
    power_w,
    rms_current_a,
)

volts = st.floats(1, 400)
ohms = st.floats(0.1, 1e4)
duties = st.floats(0, 1)


def test_a_12_v_element_on_24_v_gives_four_times_its_power():
    """R = 12 x 12 / 40 = 3.6 ohm; I = 24 / 3.6 = 6.667 A; P = 24 x 24 / 3.6 = 160 W."""
    assert element_ohm(12, 40) == pytest.approx(3.6)
    assert current_a(24, 3.6) == pytest.approx(6.667, abs=5e-4)
    assert power_w(24, element_ohm(12, 40)) == pytest.approx(160)


def test_a_cap_lowers_the_mean_power_but_not_the_current_of_a_pulse():
    """A quarter of 160 W is 40 W; copper is heated as by 6.667 x sqrt(0.25) = 3.333 A."""
    assert power_w(24, 3.6, duty=0.25) == pytest.approx(40)
    assert rms_current_a(24, 3.6, 0.25) == pytest.approx(3.333, abs=5e-4)


def test_the_tolerance_band_is_the_worst_case():
    """24 V within 5 % and 14.4 ohm within 10 %.

    Power: 22.8^2 / 15.84 = 32.82 W, 576 / 14.4 = 40 W, 25.2^2 / 12.96 = 49.00 W.
    """
    power = power_band_w(24, 14.4, ohm_pct=10, volt_pct=5)
    assert (power.low, power.nominal, power.high) == pytest.approx((32.818, 40, 49), abs=5e-4)


def test_without_tolerance_the_band_is_one_figure():
    """Nothing is widened that nobody asked for."""
    assert power_band_w(24, 14.4, ohm_pct=0) == ToleranceBand(*[power_w(24, 14.4)] * 3)


@given(volts, ohms, duties)
def test_power_equals_the_square_of_the_rms_current_times_resistance(volt, ohm, duty):
    """P = I^2 R holds with any cap."""
    assert power_w(volt, ohm, duty) == pytest.approx(rms_current_a(volt, ohm, duty) ** 2 * ohm)


@given(volts, st.floats(1, 1000))
def test_an_element_on_its_own_voltage_gives_its_rated_power(volt, watt):
    """Rating to resistance and back."""
    assert power_w(volt, element_ohm(volt, watt)) == pytest.approx(watt)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: current_a(2400, 3.6), "voltage 2400 V: allowed is 0.1 to 450 V"),
        (lambda: current_a(24, 0), "resistance 0 ohm: allowed is 0.0001 to 1e\\+06 ohm"),
        (lambda: power_w(24, 3.6, 40), "duty 40: allowed is 0 to 1"),
        (lambda: element_ohm(24, -40), "rated power -40 W: allowed is 0.1 to 5000 W"),
        (lambda: power_band_w(24, 14.4, 100), "tolerance 100 %: allowed is 0 to 50 %"),
        (lambda: current_a(float("nan"), 3.6), "voltage nan V"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
