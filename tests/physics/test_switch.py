"""Losses and loads of a switching transistor, by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.switch import SwitchLoad, dissipation_w, load

currents = st.floats(0, 50)
milliohms = st.floats(1, 1000)


def test_dissipation_counts_the_hot_on_resistance():
    """6 mohm become 9 mohm hot: 6.667^2 x 0.009 = 0.400 W; half the time, 0.200 W."""
    assert dissipation_w(20 / 3, 6) == pytest.approx(0.4)
    assert dissipation_w(20 / 3, 6, duty=0.5) == pytest.approx(0.2)
    assert dissipation_w(20 / 3, 6, hot_factor=1) == pytest.approx(0.2667, abs=5e-5)


def test_two_fans_on_one_switch():
    """0.1 A at 2 times inrush and 0.15 A at 3 times: 0.25 A, 0.65 A at the start.

    Of 0.5 A that is 50 % and 130 %; 0.25^2 x 0.15 ohm hot = 9.375 mW.
    """
    assert load([(0.1, 2), (0.15, 3)], max_a=0.5, rds_on_mohm=100) == SwitchLoad(
        total_a=pytest.approx(0.25),
        inrush_a=pytest.approx(0.65),
        rating_ratio=pytest.approx(0.5),
        inrush_ratio=pytest.approx(1.3),
        dissipation_w=pytest.approx(0.009375),
    )


def test_an_unknown_rating_gives_no_ratio():
    """What is not known is not judged."""
    assert load([(1, 1)]) == SwitchLoad(1, 1, None, None, None)


@given(st.lists(st.tuples(currents, st.floats(1, 10)), max_size=5), st.floats(0.1, 50))
def test_loads_add_up_and_inrush_is_never_less(pairs, rating):
    """Kirchhoff's current law."""
    result = load(pairs, max_a=rating)
    assert result.total_a == pytest.approx(sum(current for current, _ in pairs))
    assert result.inrush_a >= result.total_a * (1 - 1e-12)


@given(currents, currents, milliohms)
def test_more_current_never_loses_less(one, other, milliohm):
    """Dissipation grows with the current."""
    low, high = sorted((one, other))
    assert dissipation_w(low, milliohm) <= dissipation_w(high, milliohm)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: dissipation_w(600, 6), "current 600 A: allowed is 0 to 500 A"),
        (lambda: dissipation_w(5, 0), "on resistance 0 mohm: allowed is 0.1 to 100000 mohm"),
        (lambda: load([(1, 0.5)]), "inrush ratio 0.5: allowed is 1 to 100"),
        (lambda: load([(1, 1)], max_a=0), "rated current 0 A: allowed is 0.001 to 1000 A"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
