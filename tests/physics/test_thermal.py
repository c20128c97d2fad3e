"""The lumped model against its closed form, hand calculation and an ODE solver."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pincheck.physics.thermal import (
    PLATE,
    Course,
    Stage,
    ThermalBlock,
    heating,
    settle_c,
    time_to_c,
    trajectory,
)

BLOCK = ThermalBlock()
BIG = ThermalBlock(heat_capacity_j_k=20, loss_w_k=0.20)

blocks = st.builds(
    ThermalBlock,
    heat_capacity_j_k=st.floats(5, 30),
    loss_w_k=st.floats(0.05, 0.5),
    fan_loss_w_k=st.floats(0, 0.2),
    sensor_lag_s=st.floats(0, 60),
    dead_time_s=st.floats(0, 20),
    loose_lag_s=st.floats(0, 60),
)
powers = st.floats(0, 120)
temperatures = st.floats(20, 320)


def solved(course: Course, until_s: float, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Return block and sensor by scipy's DOP853, stage by stage, the dead time by interpolation."""
    times = np.linspace(0, until_s, count)
    block, sensor = np.empty(count), np.empty(count)
    state = [course.stages[0].block_c, course.stages[0].sensor_c]
    ends = [stage.start_s for stage in course.stages[1:]] + [until_s]
    runs = []
    for stage, end in zip(course.stages, ends, strict=True):

        def slope(_time, now, stage=stage):
            drives = now[0] if stage.air_c is None else stage.air_c
            return [(stage.settle_c - now[0]) / stage.tau_s, (drives - now[1]) / stage.lag_s]

        run = solve_ivp(
            slope, (stage.start_s, end), state, "DOP853", dense_output=True, rtol=1e-10, atol=1e-10
        )
        runs.append((stage.start_s, end, run.sol))
        state = run.y[:, -1]
    for index, time in enumerate(times):
        for start, end, sol in runs:
            if start <= time <= end:
                block[index] = sol(time)[0]
            if start <= time - course.delay_s <= end:
                sensor[index] = sol(time - course.delay_s)[1]
        if time < course.delay_s:
            sensor[index] = course.stages[0].sensor_c
    return block, sensor


def test_defaults_settle_where_the_mass_budget_says():
    """25 + 40 / 0.12 = 358.33 C; time constant 12 / 0.12 = 100 s."""
    assert settle_c(40, 25, BLOCK) == pytest.approx(358.33, abs=5e-3)
    assert BLOCK.tau_s == pytest.approx(100)


def test_warm_up_to_200_c():
    """100 ln((358.33 - 25) / (358.33 - 200)) = 100 ln 2.1053 = 74.4 s."""
    assert time_to_c(25, 200, 40, 25, BLOCK) == pytest.approx(74.4, abs=0.05)


@pytest.mark.parametrize(
    ("power", "block", "after_20", "after_40", "to_300"),
    [
        (40, BLOCK, 236.89, 258.90, 93.33),
        (60, BLOCK, 267.10, 313.85, 33.65),
        (115, BIG, 280.70, 338.58, 26.24),
    ],
)
def test_full_power_from_210_c(power, block, after_20, after_40, to_300):
    """Closed form T = Tinf + (T0 - Tinf) exp(-t / tau).

    40 W: 358.33 - 148.33 x 0.81873 = 236.89; x 0.67032: 258.90; 100 ln(148.33 / 58.33) = 93.33 s.
    60 W: 525 - 315 x 0.81873 = 267.10; 313.85; 100 ln(315 / 225) = 33.65 s.
    115 W, 20 J/K, 0.2 W/K: 600 - 390 x 0.81873 = 280.70; 338.58; 100 ln(390 / 300) = 26.24 s.
    """
    course = heating(power, 210, 25, block)
    assert course.block_c(20) == pytest.approx(after_20, abs=5e-3)
    assert course.block_c(40) == pytest.approx(after_40, abs=5e-3)
    assert time_to_c(210, 300, power, 25, block) == pytest.approx(to_300, abs=5e-3)


def test_a_temperature_beyond_the_settling_one_is_never_reached():
    """40 W end at 358.33 C, and a warming block does not pass what lies behind it."""
    assert time_to_c(25, 359, 40, 25, BLOCK) is None
    assert time_to_c(25, 358, 40, 25, BLOCK) is not None
    assert time_to_c(210, 200, 40, 25, BLOCK) is None
    assert time_to_c(210, 200, 0, 25, BLOCK) is not None
    assert time_to_c(210, 210, 40, 25, BLOCK) == 0


def test_the_bed_default_is_a_slow_one():
    """540 / 1.2 = 450 s; 240 W settle at 25 + 240 / 1.2 = 225 C."""
    assert PLATE.tau_s == pytest.approx(450)
    assert settle_c(240, 25, PLATE) == pytest.approx(225)


def test_the_part_fan_adds_its_loss():
    """0.12 + 0.05 = 0.17 W/K: 40 W settle at 260.3 C instead of 358.3 C."""
    assert settle_c(40, 25, BLOCK.with_fan()) == pytest.approx(260.29, abs=5e-3)


@pytest.mark.parametrize("lag", [0.05, 3.0, 99.0, 100.0, 100.0001, 150.0])
@pytest.mark.parametrize("dead", [0.0, 4.0])
def test_block_and_reading_agree_with_an_ode_solver(lag, dead):
    """scipy's DOP853 within 0.1 % of the rise; also where lag and time constant meet."""
    block = ThermalBlock(sensor_lag_s=lag, dead_time_s=dead)
    course = heating(40, 25, 25, block).then(60, settle_c(10, 25, block), block.with_fan().tau_s)
    mine = course.samples(300, 61)
    theirs = solved(course, 300, 61)
    assert np.allclose([sample.block_c for sample in mine], theirs[0], rtol=1e-6)
    assert np.allclose([sample.sensor_c for sample in mine], theirs[1], rtol=1e-6)


def test_a_loose_sensor_agrees_with_an_ode_solver():
    """The sensor cools in air while the block heats."""
    course = Course((Stage(0, 210, 210, 358.3, 100, 10, air_c=25),))
    mine, theirs = course.samples(120, 41), solved(course, 120, 41)
    assert np.allclose([sample.sensor_c for sample in mine], theirs[1], rtol=1e-6)


@pytest.mark.parametrize("lag", [3.0, 100.0, 150.0])
def test_the_reading_turns_where_an_ode_solver_sees_its_maximum(lag):
    """After power goes off, the sensor still rises until the block has fallen to it."""
    block = ThermalBlock(sensor_lag_s=lag, dead_time_s=0)
    course = heating(60, 25, 25, block).then(50, 25, block.tau_s)
    turn = course.stages[1].turn_s(2000)
    _, sensor = solved(course, 400, 4001)
    assert turn == pytest.approx(np.argmax(sensor) * 0.1, abs=0.11)
    assert course.rate_k_s(turn) == pytest.approx(0, abs=1e-9)


def test_the_first_passing_of_a_level_is_found_in_a_dip():
    """A dip that ends long before the end of the search is not stepped over."""
    course = heating(0, 210, 25, ThermalBlock(sensor_lag_s=2, dead_time_s=3)).then(3, 300, 100)
    lowest = course.reading_c(course.stages[1].turn_s(1e4) + 3)
    falls = course.first(lambda c: c < lowest + 0.01, 0, 1e5)
    assert falls is not None
    assert course.reading_c(falls) == pytest.approx(lowest + 0.01, abs=1e-6)
    assert course.first(lambda c: c < lowest - 0.01, 0, 1e5) is None


def test_the_rate_of_the_reading_is_its_derivative():
    """Central difference of the reading itself, before and after the dead time."""
    for block in (BLOCK, ThermalBlock(sensor_lag_s=0)):
        course = heating(40, 25, 25, block)
        assert course.rate_k_s(0.5) == 0
        for time in (2.0, 20.0, 200.0):
            slope = (course.reading_c(time + 1e-3) - course.reading_c(time - 1e-3)) / 2e-3
            assert course.rate_k_s(time) == pytest.approx(slope, rel=1e-5)


def test_a_trajectory_starts_and_ends_where_it_should():
    """121 samples from 0 to the end, block ahead of the sensor on the way up."""
    samples = trajectory(40, 25, 25, BLOCK, 120)
    assert len(samples) == 121
    assert (samples[0].time_s, samples[0].block_c, samples[0].sensor_c) == (0, 25, 25)
    assert samples[-1].time_s == 120
    assert all(sample.block_c >= sample.sensor_c for sample in samples)


def test_a_lag_of_next_to_nothing_is_none():
    """The smallest float above 0 does not overflow a reciprocal."""
    course = heating(40, 25, 25, ThermalBlock(sensor_lag_s=5e-324, dead_time_s=0))
    assert course.reading_c(20) == course.block_c(20)
    assert list(course.turns_s(100)) == [0, 0, 100]


@given(blocks, temperatures, powers, powers, st.floats(0, 1000))
def test_more_power_is_never_cooler(block, start, one, other, time):
    """Block and reading are monotonic in the power."""
    low, high = (heating(power, start, 25, block) for power in sorted((one, other)))
    assert low.block_c(time) <= high.block_c(time) + 1e-9
    assert low.reading_c(time) <= high.reading_c(time) + 1e-9


@given(blocks, temperatures, powers, st.floats(0, 5000))
def test_temperatures_stay_between_start_and_settling(block, start, power, time):
    """No overshoot in a first-order block, nor in a sensor that follows it."""
    settle = settle_c(power, 25, block)
    low, high = min(start, settle) - 1e-6, max(start, settle) + 1e-6
    course = heating(power, start, 25, block)
    assert low <= course.block_c(time) <= high
    assert low <= course.reading_c(time) <= high


@given(blocks, temperatures, temperatures, powers)
def test_time_to_and_temperature_at_are_inverses(block, start, end, power):
    """The block is at the asked temperature at the returned time."""
    time = time_to_c(start, end, power, 25, block)
    if time is not None:
        assert time >= 0
        assert heating(power, start, 25, block).block_c(time) == pytest.approx(end)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (
            lambda: ThermalBlock(heat_capacity_j_k=0),
            "heat capacity 0 J/K: allowed is 0.01 to 50000 J/K",
        ),
        (lambda: ThermalBlock(loss_w_k=-1), "heat loss -1 W/K: allowed is 0.0001 to 200 W/K"),
        (lambda: ThermalBlock(sensor_lag_s=1e4), "sensor lag 10000 s: allowed is 0 to 600 s"),
        (lambda: ThermalBlock(dead_time_s=math.nan), "dead time nan s"),
        (lambda: settle_c(1e6, 25, BLOCK), "power 1e\\+06 W: allowed is 0 to 5000 W"),
        (lambda: settle_c(40, 1000, BLOCK), "ambient temperature 1000 C: allowed is -50 to 150 C"),
        (lambda: time_to_c(25, 9999, 40, 25, BLOCK), "temperature 9999 C"),
        (lambda: trajectory(40, 25, 25, BLOCK, 10, count=1), "samples 1: allowed is 2"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
