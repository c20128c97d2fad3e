"""Tracks against IPC-2221, wires against ASTM B258 and handbook resistances."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.conductor import (
    CHASSIS_A,
    awg_diameter_mm,
    contacts_current_a,
    track_current_a,
    wire_current_a,
    wire_ohm_m,
)

widths = st.floats(0.1, 20)
weights = st.floats(0.5, 4)

ASTM_MM = {
    10: 2.588, 12: 2.053, 14: 1.628, 16: 1.291, 18: 1.024, 20: 0.8118, 22: 0.6438, 24: 0.5106,
    26: 0.4049, 28: 0.3211, 30: 0.2546, 36: 0.1270,
}  # fmt: skip
"""Nominal diameters of ASTM B258."""

OHM_PER_1000_FT = {
    10: 0.9989, 12: 1.588, 14: 2.525, 16: 4.016, 18: 6.385, 20: 10.15, 22: 16.14, 24: 25.67,
    26: 40.81, 28: 64.90, 30: 103.2,
}  # fmt: skip
"""Annealed copper at 20 C: NBS Handbook 100, copper wire tables."""


@pytest.mark.parametrize(
    ("amps", "layer", "width"), [(1, "outer", 0.300), (1, "inner", 0.781), (5, "outer", 2.765)]
)
def test_what_tracks_carry_at_10_k(amps, layer, width):
    """IPC-2221 closed form, 1 oz.

    1 A outer: (1 / (0.048 x 10^0.44))^(1 / 0.725) = 16.30 square mil = 0.01051 mm2,
    over 0.035 mm = 0.300 mm. Inner has half the factor: x 2^(1 / 0.725) = 2.601. 5 A: x 9.207.
    """
    assert track_current_a(width, 1, layer, 10) == pytest.approx(amps, rel=2e-3)


def test_what_a_track_of_0_8_mm_carries_and_how_warm_it_gets():
    """0.8 x 0.035 mm2 = 43.40 square mil; 43.40^0.725 = 15.39.

    At 10 K: 0.048 x 2.754 x 15.39 = 2.03 A. At 3 A: (3 / (0.048 x 15.39))^(1 / 0.44) = 24.2 K.
    """
    assert track_current_a(0.8, 1, "outer", 10) == pytest.approx(2.034, abs=1e-3)
    assert track_current_a(0.8, 1, "outer", 24.18) == pytest.approx(3, abs=1e-3)


@given(widths, weights, st.floats(1, 100))
def test_an_inner_track_carries_half(width, weight, rise):
    """It sheds its heat through the board: half the current at the same rise."""
    outer, inner = (track_current_a(width, weight, it, rise) for it in ("outer", "inner"))
    assert inner == pytest.approx(outer / 2)


@pytest.mark.parametrize(("gauge", "diameter"), ASTM_MM.items())
def test_wire_diameters(gauge, diameter):
    """ASTM B258, to its last printed digit."""
    assert awg_diameter_mm(gauge) == pytest.approx(diameter, rel=4e-4)


@pytest.mark.parametrize(("gauge", "ohm"), OHM_PER_1000_FT.items())
def test_wire_resistances(gauge, ohm):
    """NBS Handbook 100, within 0.1 %; 1000 ft are 304.8 m."""
    assert wire_ohm_m(gauge) * 304.8 == pytest.approx(ohm, rel=1e-3)


def test_a_bundle_carries_less_per_wire():
    """7 A for 22 AWG alone; ten loaded wires at 50 % leave 3.5 A each."""
    assert wire_current_a(22) == 7.0
    assert wire_current_a(22, loaded=10) == 3.5


def test_thinner_wire_never_carries_more():
    """The rating table falls with the gauge number."""
    ratings = [CHASSIS_A[gauge] for gauge in sorted(CHASSIS_A)]
    assert ratings == sorted(ratings, reverse=True)


def test_contacts_in_parallel_do_not_add_up_fully():
    """Two of 3 A carry 0.8 x 6 = 4.8 A, one carries its 3 A."""
    assert contacts_current_a(3, 1) == 3
    assert contacts_current_a(3, 2) == pytest.approx(4.8)


@given(st.floats(0.1, 20), st.integers(1, 40))
def test_one_more_contact_always_helps(rating, count):
    """Derating never makes more contacts carry less, nor more than their sum."""
    carried = contacts_current_a(rating, count)
    assert carried < contacts_current_a(rating, count + 1)
    assert carried <= rating * count


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: track_current_a(0, 1, "outer"), "track width 0 mm: allowed is 0.05 to 100 mm"),
        (lambda: track_current_a(0.8, 35, "outer"), "copper weight 35 oz: allowed is 0.25 to 12"),
        (
            lambda: track_current_a(0.8, 1, "middle"),
            "layer 'middle': allowed is 'outer' or 'inner'",
        ),
        (lambda: awg_diameter_mm(60), "wire gauge 60 AWG: allowed is 0 to 40 AWG"),
        (lambda: wire_current_a(41), "wire gauge 41 AWG: allowed is 8 to 40 AWG"),
        (lambda: contacts_current_a(3, 0), "count 0: allowed is 1 to 100"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
