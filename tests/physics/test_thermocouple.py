"""Thermocouples against the ITS-90 tables and two independent libraries."""

import pytest
import thermocouple_its90
import thermocouples
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.curve import OutOfRange
from pincheck.physics.thermocouple import (
    LETTERS,
    Thermocouple,
    ThermocoupleAmplifier,
    read_as_c,
)

K, J, N = Thermocouple("K"), Thermocouple("J"), Thermocouple("N")

# NIST Monograph 175 tables, mV with the reference junction at 0 C (from memory of the tables).
TYPE_K = {
    -100: -3.554, -50: -1.889, 0: 0.0, 25: 1.000, 50: 2.023, 100: 4.096, 150: 6.138, 200: 8.138,
    250: 10.153, 300: 12.209, 400: 16.397, 500: 20.644, 1000: 41.276,
}  # fmt: skip
TYPE_J = {
    -100: -4.633, -50: -2.431, 0: 0.0, 25: 1.277, 50: 2.585, 100: 5.269, 150: 8.010, 200: 10.779,
    250: 13.555, 300: 16.327, 400: 21.848, 500: 27.393, 1000: 57.953,
}  # fmt: skip

TYPE_T = {
    -200: -5.603, -100: -3.379, -50: -1.819, 0: 0.0, 25: 0.992, 100: 4.279, 200: 9.288,
    300: 14.862, 350: 17.819,
}  # fmt: skip
TYPE_E = {
    -100: -5.237, -50: -2.787, 0: 0.0, 25: 1.495, 100: 6.319, 200: 13.421, 300: 21.036,
    500: 37.005, 900: 68.787,
}  # fmt: skip
TYPE_N = {
    -100: -2.407, -50: -1.269, 0: 0.0, 25: 0.659, 100: 2.774, 200: 5.913, 250: 7.597, 300: 9.341,
    500: 16.748, 1000: 36.256,
}  # fmt: skip


@pytest.mark.parametrize(
    ("letter", "temp_c", "mv"),
    [
        (letter, *row)
        for letter, table in zip("KJTEN", (TYPE_K, TYPE_J, TYPE_T, TYPE_E, TYPE_N), strict=True)
        for row in table.items()
    ],
)
def test_tables_of_the_standard(letter, temp_c, mv):
    """K and J at 13 points each, T, E and N at 9 or 10, to the table's last printed digit."""
    couple = Thermocouple(letter)
    assert couple.mv(temp_c) == pytest.approx(mv, abs=0.000501)
    assert couple.temp_c(mv) == pytest.approx(temp_c, abs=0.035)


letters = st.sampled_from(LETTERS)


@given(letters, st.floats(0, 1))
def test_agrees_with_two_independent_libraries(letter, share):
    """thermocouple-its90 and thermocouples (test only), within 0.01 uV.

    Type N of the second only from 0 C: below, it departs from the standard (-4.345 mV at -270 C).
    """
    couple = Thermocouple(letter)
    temp_c = couple.low_c + share * (couple.high_c - couple.low_c)
    mv = couple.mv(temp_c)
    assert thermocouple_its90.get(letter).emf(temp_c) == pytest.approx(mv, abs=1e-5)
    if temp_c >= 0 or letter != "N":
        volt = thermocouples.get_thermocouple(letter).temp_to_volt(temp_c)
        assert volt * 1e3 == pytest.approx(mv, abs=1e-5)


@given(letters, st.floats(0, 1), st.floats(0, 1))
def test_rises_everywhere_and_inverts(letter, one, other):
    """Hotter is higher in mV, and the inverse gives the temperature back."""
    couple = Thermocouple(letter)
    cold, hot = sorted(couple.low_c + s * (couple.high_c - couple.low_c) for s in (one, other))
    assert couple.temp_c(couple.mv(hot)) == pytest.approx(hot, abs=1e-6)
    if hot - cold > 1e-4:
        assert couple.mv(cold) < couple.mv(hot)


def test_type_k_read_as_another_type():
    """Type K at 250 C, terminals at 25 C: 193.7 C when set for J, 313.2 C for N (Monograph 175)."""
    assert read_as_c(250, K, J) == pytest.approx(193.7, abs=0.05)
    assert read_as_c(250, K, N) == pytest.approx(313.2, abs=0.05)
    assert read_as_c(250, K, K, junction_c=40) == pytest.approx(250, abs=1e-9)


def test_past_the_range_of_the_assumed_type_its_end_is_read():
    """Type E at 900 C gives 68.8 mV, more than type K ever does: 1372 C."""
    assert read_as_c(900, Thermocouple("E"), K) == 1372.0


def test_amplifier_keeps_the_curvature():
    """AD595, from its data sheet's formula: (10.1534 + 0.011) mV x 247.3 = 2513.7 mV.

    Type J on it, terminals at 25 C: (13.5553 - 1.2770 + 1.0002 + 0.011) x 247.3 = 3286.5 mV.
    """
    amplifier = ThermocoupleAmplifier(K, 247.3, 0.011 * 247.3, 10.0)
    assert amplifier.out_mv(250, K) == pytest.approx(2513.66, abs=0.02)
    assert amplifier.believed_c(250, K) == pytest.approx(251.4, abs=0.05)
    assert amplifier.believed_c(250, K, assumed_mv_per_c=5.0) == pytest.approx(502.7, abs=0.05)
    assert amplifier.believed_c(250, J) == pytest.approx(328.65, abs=0.02)


def test_absurd_input_is_refused_by_name():
    """Type, temperature, voltage and gain name what is allowed."""
    with pytest.raises(ValueError, match="thermocouple type 'X': allowed are K, J, T, E, N"):
        Thermocouple("X")
    with pytest.raises(OutOfRange, match="the curve holds -270 to 1372 C"):
        K.mv(1500)
    with pytest.raises(OutOfRange, match="voltage 100 mV"):
        K.temp_c(100)
    with pytest.raises(ValueError, match="gain 0 V/V: allowed is 1 to 10000 V/V"):
        ThermocoupleAmplifier(K, 0)
