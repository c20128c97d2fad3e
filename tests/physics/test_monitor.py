"""The three algorithms on readings that leave their band more than once."""

from itertools import pairwise

import pytest
from attrs import evolve

from pincheck.physics.monitor import (
    ACCUMULATED,
    MODEL,
    WINDOW,
    HeaterModel,
    holding,
    warming,
)
from pincheck.physics.thermal import Course, Stage


def ramps(start_c: float, *pieces: tuple[float, float]) -> Course:
    """Return a reading made of ramps, each as (seconds, K/s), without lag or dead time."""
    flat = 1e6
    course = Course((Stage(0.0, start_c, start_c, start_c + pieces[0][1] * flat, flat, 0.0),))
    end = 0.0
    for (seconds, _), (_, slope) in pairwise(pieces):
        end += seconds
        course = course.then(end, course.block_c(end) + slope * flat, flat)
    return course


TWO_DIPS = ramps(210, (10, -2), (10, 2), (10, -2), (10, 2), (1, 0))
"""From 210 C down to 190 C and back in 20 s, twice."""

ONE_LONG_DIP = ramps(210, (10, -2), (20, 0), (10, 2), (1, 0))


@pytest.mark.parametrize(("period", "cut_s"), [(17, None), (15, 17)])
def test_time_out_of_the_band_starts_anew_with_each_dip(period, cut_s):
    """Below 206 C from 2 s to 18 s: 16 s, then again; 17 s are never full, 15 s are at 17 s."""
    cut = holding(TWO_DIPS, 210, evolve(WINDOW, trip_period_s=period), 40)
    assert (cut and cut.after_s) == (cut_s and pytest.approx(cut_s, abs=1e-3))


def test_the_error_sum_is_cleared_inside_the_band():
    """Below 205 C by 1, 3, ... 15, 13, ... 1 K at 3 s to 17 s: 113 K s a dip, 120 allowed."""
    assert holding(TWO_DIPS, 210, ACCUMULATED, 40) is None
    assert holding(TWO_DIPS, 210, evolve(ACCUMULATED, max_error_ks=112), 40).after_s == 17


def test_the_error_sum_of_a_lasting_dip():
    """1 + 3 + ... + 15 = 64 K s at 10 s, 15 more each second: 124 at 14 s."""
    assert holding(ONE_LONG_DIP, 210, ACCUMULATED, 40).after_s == 14


def test_the_goal_follows_a_reading_that_still_falls_at_first():
    """From 100 C down to 66 C in 17 s, then up 2.5 K/s: 2 K over the lowest counts as a gain.

    2 K over the start would need 14.4 s, far past the 20 s.
    """
    assert warming(ramps(100, (17, -2), (40, 2.5), (1, 0)), 210, 25, ACCUMULATED, 57) is None


def test_a_gain_missed_by_a_second_cuts_when_the_sum_is_full():
    """0.1 K/s brings 2.0 K in exactly 20 s, which counts; 0.099 K/s does not."""
    assert warming(ramps(25, (200, 0.1001), (1, 0)), 210, 25, ACCUMULATED, 190) is None
    assert warming(ramps(25, (200, 0.099), (1, 0)), 210, 25, ACCUMULATED, 190).after_s == 21


def test_a_slow_stretch_is_forgiven_by_a_good_one():
    """3 s flat, 10 s at 5 K/s, 3 s flat: never 5 s of fault in a row; 6 s flat are."""
    known = evolve(MODEL, model=HeaterModel(rate_k_s=3.33, cooling_k_s=1.0))
    spells = ramps(25, (3, 0), (10, 5), (3, 0), (10, 5), (1, 0))
    assert warming(spells, 210, 25, known, 26) is None
    assert warming(ramps(25, (6, 0), (10, 5), (1, 0)), 210, 25, known, 16).after_s == 5.25


def test_the_earlier_of_two_reasons_counts():
    """The minimum of 195 C is passed at 7.5 s, before the band's 15 s are over."""
    strict = evolve(WINDOW, trip_period_s=15, min_c=195)
    cut = holding(TWO_DIPS, 210, strict, 40)
    assert cut.cause == "below minimum"
    assert cut.after_s == pytest.approx(7.5, abs=1e-3)


def test_a_maximum_cuts_on_the_way_up():
    """25 C and 5 K/s: 275 C after 50 s."""
    cut = warming(ramps(25, (100, 5), (1, 0)), 300, 25, evolve(WINDOW, max_c=275), 60)
    assert cut.cause == "above maximum"
    assert cut.after_s == pytest.approx(50, abs=0.01)
