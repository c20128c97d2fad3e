"""The supply with everything on."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.supply import Load, budget


def test_the_budget_with_everything_on():
    """24 V, 15 A: bed 9 A capped at 60 %, heater 1.667 A, fans 0.3 A.

    Mean 5.4 + 1.667 + 0.3 = 7.367 A, 49.1 % of 15 A; pulses together 10.967 A.
    """
    total = budget([Load("heater", 5 / 3), Load("bed", 9, duty=0.6), Load("fans", 0.3)], 15)
    assert total.mean_a == pytest.approx(7.367, abs=5e-4)
    assert total.mean_ratio == pytest.approx(0.491, abs=5e-4)
    assert total.peak_a == pytest.approx(10.967, abs=5e-4)
    assert total.largest == ("bed", "heater", "fans")
    assert not total.overloaded


@pytest.mark.parametrize(("amps", "overloaded"), [(10, False), (10.1, True)])
def test_a_supply_is_overloaded_past_its_rating(amps, overloaded):
    assert budget([Load("all", amps)], 10).overloaded == overloaded


@given(st.lists(st.tuples(st.floats(0, 50), st.floats(0, 1)), min_size=1, max_size=8))
def test_caps_never_raise_the_mean_above_the_peak(pairs):
    """A cap only lowers."""
    loads = [Load(str(number), *pair) for number, pair in enumerate(pairs)]
    total = budget(loads, 10)
    assert total.mean_a <= total.peak_a * (1 + 1e-12)
    assert sorted(total.largest) == sorted(load.name for load in loads)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: Load("bed", -1), "current -1 A: allowed is 0 to 500 A"),
        (lambda: Load("bed", 1, duty=255), "duty 255: allowed is 0 to 1"),
        (lambda: budget([], 0), "rated current 0 A"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
