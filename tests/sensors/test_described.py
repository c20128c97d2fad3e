"""Sensors that users describe by letters, points or a resistance."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.ntc import BetaCurve
from pincheck.sensors import (
    catalogue,
    from_beta,
    from_letters,
    from_platinum,
    from_points,
    letters,
    same_part,
    sensor,
)


@pytest.mark.parametrize(
    ("made", "sensor_id"),
    [
        (from_letters(100000, 3950), "ntc-100k-b3950"),
        (from_letters(100000, 4725, 7.06e-8), "ntc-100k-b4267-glass"),
        (from_letters(), "ntc-100k-b4267-glass"),
        (from_letters(beta_k=4725), "ntc-100k-b4725"),
        (from_letters(100000, 4388), "ntc-100k-b4388"),
        (from_letters(10000, 3435), "ntc-10k-b3435"),
        (from_letters(500000, 4000, 1e-8), "ntc-500k-b4000-c1e-08"),
        (from_beta(100000, 3950, t0_c=25), "ntc-100k-b3950"),
        (from_beta(4700000, 4500), "ntc-4.7m-b4500"),
        (from_points([(25, 100000), (150, 1770), (250, 230)]), "ntc-100k-b3950"),
        (from_points([(25, 100000), (150, 1641.9), (250, 226.15)]), "ntc-100k-b4092"),
        (from_points([(250, 174), (25, 100000), (100, 5556)]), "ntc-100k-b4267-glass"),
        (from_platinum(1000), "pt1000"),
        (from_platinum(100), "pt100"),
    ],
)
def test_a_described_part_is_recognised(made, sensor_id):
    """By its letters, or by a curve within 0.5 K of a catalogue part from 25 to 250 C."""
    assert made.id == sensor_id
    assert made.curve is not None
    assert made.reason == ""
    assert "user's own" in made.source


def test_a_recognised_part_keeps_the_firmwares_curve():
    """B3950 alone is the beta equation, whatever the catalogue knows of such beads."""
    made = from_letters(100000, 3950, pullup_ohm=2200)
    assert made.curve == BetaCurve(100000, 25, 3950)
    assert made.pullup_ohm == 2200
    assert made.uncertainty_k(250) == 0


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: from_letters(100000, 4), "beta 4 K: allowed is 100 to 20000 K"),
        (lambda: from_letters(0), "resistance at 25 C 0 ohm: allowed is 0.1 to 1e\\+09 ohm"),
        (lambda: from_beta(-1, 3950), "resistance at the reference point -1 ohm"),
        (lambda: from_points([(25, 1), (50, 2), (75, 3)]), "falling resistances"),
        (lambda: from_platinum(0), "resistance at 0 C 0 ohm"),
    ],
)
def test_absurd_descriptions_are_refused_by_name(make, message):
    """The message names the quantity and its range."""
    with pytest.raises(ValueError, match=message):
        make()


@pytest.mark.parametrize(
    "part", [row for row in catalogue().values() if row.kind == "ntc" and row.curve]
)
def test_letters_describe_the_part(part):
    """Written into a script, they are recognised for the part or follow it within 1 K."""
    made = from_letters(*letters(part))
    hot_c = min(part.curve.high_c, part.max_c or 250)
    if not same_part(made.id, part.id):
        at_c = [25 + share * (hot_c - 25) / 10 for share in range(11)]
        assert all(abs(made.curve.temp_c(part.curve.ohm(at)) - at) < 1 for at in at_c)


def test_letters_as_the_trade_writes_them():
    """The glass part's; the bead's for a bed, for at 250 C they read it 27 K too high; none
    where no curve is known or it is no NTC.
    """
    assert letters(sensor("ntc-100k-b4267-glass")) == (100000, 4725, 7.06e-8)
    assert letters(sensor("ntc-100k-b3950"), 110.0) == (100000, 3950, 0)
    assert letters(sensor("ntc-100k-b3950"))[2] > 0
    assert letters(from_letters(100000, 4388)) == (100000, 4388, 0)
    assert letters(sensor("ntc-100k-measured")) is None
    assert letters(sensor("pt1000")) is None


numbers = st.one_of(st.none(), st.floats())


@given(numbers, numbers, numbers)
def test_any_letters_give_a_sensor_or_a_clear_refusal(r25_ohm, beta_k, c):
    """Hostile numbers never cause another error."""
    try:
        made = from_letters(r25_ohm, beta_k, c)
    except ValueError:
        with pytest.raises(ValueError, match="allowed"):
            from_letters(r25_ohm, beta_k, c)
    else:
        assert made.curve.ohm(25) > 0


def test_letters_of_no_known_sensor_are_named_as_they_were_read() -> None:
    assert from_letters(100000, 3950, 7.06e-8).name == "user's NTC, 100k, b3950, c7.06e-08"
    assert from_letters(500000, 4000, 0).name == "user's NTC, 500k, b4000"


def test_of_points_that_bend_the_wrong_way_the_outer_ones_count():
    """25 C and 100 C: beta = ln(100000 / 6950) / (1 / 298.15 - 1 / 373.15) = 3955 K, so at 60 C
    100000 exp(3955 (1 / 333.15 - 1 / 298.15)) = 24.8 k, whatever the middle point says."""
    curve = from_points([(25, 100000), (60, 14900), (100, 6950)]).curve
    assert curve is not None
    assert curve.ohm(100.0) == pytest.approx(6950, rel=1e-6)
    assert curve.ohm(60.0) == pytest.approx(24814, rel=1e-3)
