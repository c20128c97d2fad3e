"""Fans on a supply, on one switch and at the lowest duty."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.fan import Fan, on_supply

SMALL = Fan(rated_v=12, current_a=0.1)


def test_a_12_v_fan_on_24_v_is_destroyed():
    """Twice the voltage: 2^2 x 0.1 A = 0.4 A, 2^3 = 8 times the power."""
    result = on_supply(SMALL, 24)
    assert result.fit == "above"
    assert result.current_a == pytest.approx(0.4)
    assert result.power_ratio == pytest.approx(8)


@pytest.mark.parametrize(
    ("volt", "fit"),
    [(5, "below"), (6.9, "below"), (7, "within"), (12, "within"), (13.8, "within"), (14, "above")],
)
def test_the_supply_range_of_a_fan_without_data_sheet(volt, fit):
    """7 to 13.8 V for 12 V: half its voltage is no agreement."""
    assert on_supply(SMALL, volt).fit == fit


def test_a_range_from_the_data_sheet_wins():
    """10.8 to 13.2 V as stated: 7 V is below, 13.8 V above."""
    strict = Fan(rated_v=12, current_a=0.1, supply_min_v=10.8, supply_max_v=13.2)
    assert on_supply(strict, 7).fit == "below"
    assert on_supply(strict, 13.8).fit == "above"


@given(st.floats(1, 60), st.floats(1, 60))
def test_more_voltage_never_draws_less(one, other):
    """Current and power grow with the voltage."""
    low, high = sorted((one, other))
    weak, strong = on_supply(SMALL, low), on_supply(SMALL, high)
    assert weak.current_a <= strong.current_a
    assert weak.power_ratio <= strong.power_ratio


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: Fan(rated_v=0, current_a=0.1), "voltage 0 V: allowed is 0.1 to 450 V"),
        (lambda: Fan(rated_v=12, current_a=-1), "rated current -1 A"),
        (lambda: Fan(rated_v=12, current_a=0.1, inrush_ratio=0), "inrush ratio 0"),
        (lambda: on_supply(SMALL, 1200), "voltage 1200 V"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
