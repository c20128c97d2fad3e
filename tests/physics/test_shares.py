"""Tables of shares of a converter's full scale."""

import pytest

from pincheck.physics.curve import OutOfRange
from pincheck.physics.shares import SharesCurve

FALLING = ((0.25, 200.0), (0.5, 100.0), (0.75, 0.0))


def test_on_a_straight_line_in_shares():
    """3/8 of full scale on 1000 ohm are 600 ohm, half way from 200 to 100 C."""
    curve = SharesCurve(FALLING, 1000.0)
    assert curve.temp_c(600.0) == pytest.approx(150.0)
    assert curve.ohm(150.0) == pytest.approx(600.0)
    assert (curve.low_c, curve.high_c) == (0.0, 200.0)


def test_rising_tables_and_repeated_ends():
    curve = SharesCurve(((0.0, 5.0), (0.25, 5.0), (0.5, 100.0), (0.75, 100.0)), 1000.0)
    assert curve.rows == ((0.25, 5.0), (0.5, 100.0))
    assert curve.ohm(100.0) == pytest.approx(1000.0)
    with pytest.raises(OutOfRange):
        curve.temp_c(1001.0)


@pytest.mark.parametrize(
    "rows",
    [
        FALLING[:1],
        FALLING[::-1],
        ((0.25, 200.0), (1.0, 0.0)),
        ((0.25, 200.0), (0.5, 100.0), (0.6, 100.0), (0.75, 0.0)),
        ((0.25, 200.0), (0.5, 100.0), (0.75, 150.0)),
    ],
)
def test_no_table_of_a_sensor(rows):
    with pytest.raises(ValueError, match="allowed"):
        SharesCurve(rows, 1000.0)
