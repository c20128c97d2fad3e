"""Tolerance bands by hand calculation and against corners computed in full."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.believed import believed_c
from pincheck.physics.divider import Divider
from pincheck.physics.ntc import BetaCurve
from pincheck.physics.platinum import PlatinumCurve, class_tolerance_k
from pincheck.physics.tolerance import ntc_band, platinum_band

BETA = BetaCurve(100000, 25, 3950)


def test_by_hand():
    """At 100 C, beta 3950: T^2/beta = 373.15^2/3950 = 35.2508 K; 1 % of R is 0.3525 K.

    The beta's share: 3950 x 1 % x (1/298.15 - 1/373.15) = 0.026628, times 35.2508 = 0.9387 K.
    """
    band = ntc_band(100, BETA, r25_pct=1, beta_pct=1, pullup_pct=1)
    assert band.r25_k == pytest.approx(0.3525, abs=0.0001)
    assert band.beta_k == pytest.approx(0.9387, abs=0.0001)
    assert band.pullup_k == pytest.approx(0.3525, abs=0.0001)
    assert band.worst_k == pytest.approx(1.6437, abs=0.0002)
    assert band.rss_k == pytest.approx(1.0628, abs=0.0001)


@given(st.floats(30, 300), st.floats(0, 2), st.floats(0, 2), st.floats(0, 2))
def test_worst_case_is_the_corner_of_the_parts(true_c, r25_pct, beta_pct, pullup_pct):
    """The part with every value at its end, read as nominal, errs by the worst case within 8 %."""
    part = BetaCurve(100000 * (1 - r25_pct / 100), 25, 3950 * (1 + beta_pct / 100))
    seen = believed_c(true_c, part, Divider(4700 * (1 + pullup_pct / 100)), BETA, Divider(4700))
    band = ntc_band(true_c, BETA, r25_pct, beta_pct, pullup_pct)
    assert seen - true_c == pytest.approx(band.worst_k, rel=0.08, abs=1e-6)
    assert band.rss_k <= band.worst_k + 1e-12


def test_platinum():
    """Pt1000 at 200 C: class B 1.3 K; 1 % of pull-up is 17.586 ohm over 3.6773 ohm/K = 4.782 K."""
    band = platinum_band(200, PlatinumCurve(1000), class_tolerance_k(200), 1)
    assert band.r25_k == pytest.approx(1.3)
    assert band.pullup_k == pytest.approx(4.782, abs=0.001)


@pytest.mark.parametrize("pct", [-1.0, 51.0, float("nan")])
def test_absurd_input_is_refused_by_name(pct):
    """Percentages name their allowed range."""
    with pytest.raises(ValueError, match=r"tolerance of R25 .* %: allowed is 0 to 50 %"):
        ntc_band(100, BETA, pct, 1)
    with pytest.raises(ValueError, match=r"tolerance of the pull-up .* %: allowed is 0 to 50 %"):
        platinum_band(100, PlatinumCurve(100), 1, pct)
