"""NTC curves against published tables, an independent library, and their own laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from thermistor_utils import SH_converter

from pincheck.physics.curve import OutOfRange
from pincheck.physics.ntc import BetaCurve, SteinhartHartCurve, TableCurve
from pincheck.sensors import sensor

GLASS_100K = SteinhartHartCurve.from_points([(20, 126800), (150, 1360), (300, 80.65)])


def kelvin_off(curve, points):
    return max(abs(curve.temp_c(ohm) - temp_c) for temp_c, ohm in points)


@pytest.mark.parametrize(
    ("sensor_id", "cold_c", "hot_c"),
    [
        ("ntc-100k-b4267-glass", -50, 300),
        ("ntc-1m-b4608-glass", 0, 300),
        ("ntc-100k-b4250-chip", -40, 125),
    ],
)
def test_table_gives_every_published_point(sensor_id, cold_c, hot_c):
    """Semitec 104GT and 105GT, Murata NCP..WF104: exact at every point of the table."""
    curve = sensor(sensor_id).curve
    assert (curve.low_c, curve.high_c) == (cold_c, hot_c)
    assert kelvin_off(curve, curve.points) < 1e-9


@pytest.mark.parametrize("start", [0, 1])
def test_table_is_right_between_its_points(start):
    """Every other point left out (20 K apart), the 104GT table still gives it within 0.1 K."""
    points = sensor("ntc-100k-b4267-glass").curve.points
    half = TableCurve(points[start::2])
    left_out = [row for row in points if half.low_c <= row[0] <= half.high_c]
    assert kelvin_off(half, left_out) < 0.1


def test_three_points_reproduce_the_whole_glass_table():
    """Steinhart-Hart through 20, 150 and 300 C: within 0.09 K of Semitec 104GT from -50 to 300."""
    assert kelvin_off(GLASS_100K, sensor("ntc-100k-b4267-glass").curve.points) < 0.09


def test_letters_of_the_trade_reproduce_the_glass_table():
    """B4725 C7.06e-8 (common practice for this part): within 0.1 K of Semitec 104GT."""
    curve = SteinhartHartCurve.from_letters(100000, 4725, 7.06e-8)
    assert kelvin_off(curve, sensor("ntc-100k-b4267-glass").curve.points) < 0.1


def test_three_points_fit_a_second_published_table():
    """Semitec 105GT by three of its points: within 0.2 K from 25 to 300 C."""
    curve = sensor("ntc-1m-b4608-glass").curve
    chosen = [row for row in curve.points if row[0] in (25, 150, 300)]
    fit = SteinhartHartCurve.from_points(chosen)
    assert kelvin_off(fit, [row for row in curve.points if row[0] >= 25]) < 0.2


def test_three_points_fit_a_chip_table():
    """Murata NCP..WF104 by three of its points: within 0.15 K from 0 to 125 C."""
    points = [row for row in sensor("ntc-100k-b4250-chip").curve.points if row[0] >= 0]
    fit = SteinhartHartCurve.from_points([row for row in points if row[0] in (0, 60, 125)])
    assert kelvin_off(fit, points) < 0.15


@pytest.mark.parametrize(
    ("temp_c", "ohm"), [(85.0, 8873.0), (50.0, 33195.0)], ids=["25/85", "25/50"]
)
def test_beta_from_two_points_meets_the_chip_data_sheet(temp_c, ohm):
    """Murata NCP..WF104: B25/50 4250 K and B25/85 4311 K give the table within 1 %."""
    beta_k = {85.0: 4311, 50.0: 4250}[temp_c]
    assert BetaCurve(100000, 25, beta_k).ohm(temp_c) == pytest.approx(ohm, rel=0.01)


def test_generic_3950_table_is_met_near_room_temperature():
    """A weak table of a generic bead, kohm: the beta equation within 0.1 K from 20 to 46 C."""
    table = [(20, 124973.4), (30, 80527.4), (40, 53163.5), (46, 41887.8)]
    assert kelvin_off(BetaCurve(100000, 25, 3950), table) < 0.1
    assert kelvin_off(sensor("ntc-100k-b3950").curve, table) < 0.7


@given(
    st.floats(-40, 300),
    st.sampled_from(
        [
            [(20, 126800), (150, 1360), (300, 80.65)],
            [(25, 100000), (150, 1641.9), (250, 226.15)],
            [(25, 500000), (200, 3734), (400, 240)],
        ]
    ),
)
def test_agrees_with_an_independent_library(temp_c, points):
    """thermistor-utils (test only): Steinhart-Hart through the same points, within 1 mK."""
    ours = SteinhartHartCurve.from_points(points)
    ohm = ours.ohm(temp_c)
    assert SH_converter.from_points(points).temperature(ohm) == pytest.approx(temp_c, abs=1e-3)


betas = st.builds(BetaCurve, st.floats(1e3, 5e6), st.floats(0, 100), st.floats(2000, 6000))
tables = st.lists(st.floats(0.05, 2.0), min_size=2, max_size=20).map(
    lambda drops: TableCurve(
        [(10.0 * i, 1e6 * 0.9 ** (i + sum(drops[:i]))) for i in range(len(drops))]
    )
)
letter_sets = st.builds(
    SteinhartHartCurve.from_letters, st.floats(1e4, 1e6), st.floats(3500, 5500), st.floats(0, 2e-7)
)


@given(st.one_of(betas, tables, letter_sets), st.floats(0, 1), st.floats(0, 1))
def test_falls_everywhere_and_inverts(curve, one, other):
    """Hotter is lower in ohm, and the inverse gives the temperature back within 1 uK."""
    cold, hot = sorted(curve.low_c + share * (curve.high_c - curve.low_c) for share in (one, other))
    assert curve.temp_c(curve.ohm(hot)) == pytest.approx(hot, abs=1e-6)
    if hot - cold > 1e-6:
        assert curve.ohm(cold) > curve.ohm(hot) > 0


@given(st.floats(0, 3e-12))
def test_a_vanishing_c_is_the_beta_equation(c):
    """No digits are lost where the cubic is almost a line."""
    cubic = SteinhartHartCurve.from_letters(100000, 4267, c)
    assert cubic.ohm(200) == pytest.approx(BetaCurve(100000, 25, 4267).ohm(200), rel=1e-3)
    assert cubic.temp_c(cubic.ohm(200)) == pytest.approx(200, abs=1e-8)


def test_a_small_negative_c_is_a_curve():
    """Fits of some parts give a negative C; inside the range the resistance still falls."""
    curve = SteinhartHartCurve.from_letters(100000, 4000, -2e-8, -20, 300)
    assert curve.temp_c(curve.ohm(250)) == pytest.approx(250, abs=1e-8)


@pytest.mark.parametrize(
    ("make", "quantity"),
    [
        (lambda: BetaCurve(0, 25, 3950), "resistance at the reference point 0 ohm"),
        (lambda: BetaCurve(100000, 25, 0), "beta 0 K: allowed is 100 to 20000 K"),
        (lambda: BetaCurve(100000, 25, float("nan")), "beta nan K"),
        (lambda: BetaCurve(100000, -300, 3950), "reference point -300 C"),
        (lambda: SteinhartHartCurve.from_letters(100000, 4725, 1.0), "Steinhart-Hart C 1"),
        (lambda: SteinhartHartCurve.from_letters(100000, 4725, -1e-6), "Steinhart-Hart C|ln R"),
        (lambda: SteinhartHartCurve.from_letters(-5, 4725), "resistance at 25 C -5 ohm"),
        (lambda: SteinhartHartCurve.from_points([(25, 1e5), (150, 2e5), (250, 100)]), "rising"),
        (lambda: SteinhartHartCurve.from_points([(25, 1e5), (25, 1e5), (250, 100)]), "rising"),
        (lambda: SteinhartHartCurve.from_points([(25, 1e5), (150, 1e3)]), "exactly 3"),
        (lambda: TableCurve([(25, 1e5)]), "2 or more"),
        (lambda: TableCurve([(25, 1e5), (50, 2e5)]), "fall as the temperature rises"),
        (lambda: TableCurve([(25, 1e5), (50, -1)]), "resistance of a point -1 ohm"),
    ],
)
def test_absurd_input_is_refused_by_name(make, quantity):
    """The message names the quantity and what is allowed."""
    with pytest.raises(ValueError, match=quantity) as caught:
        make()
    assert "allowed" in str(caught.value)


@given(st.floats(), st.floats(), st.floats())
def test_whatever_letters_are_given_it_is_a_falling_curve_or_refused(r25_ohm, beta_k, c):
    """No combination of letters gives a broken curve or another error."""
    try:
        curve = SteinhartHartCurve.from_letters(r25_ohm, beta_k, c)
    except ValueError:
        return
    assert curve.ohm(curve.low_c) > curve.ohm(100) > curve.ohm(curve.high_c) > 0


def test_outside_the_curve_is_an_error_with_its_ends():
    """Nothing is extrapolated."""
    curve = sensor("ntc-100k-b4267-glass").curve
    with pytest.raises(OutOfRange, match="temperature 310 C: the curve holds -50 to 300 C"):
        curve.ohm(310)
    with pytest.raises(OutOfRange, match=r"resistance 10 ohm: the curve holds 80\.65 to"):
        curve.temp_c(10)
