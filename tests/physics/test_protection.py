"""Faults and false trips, by hand and against a sampled controller on a solver's curves."""

import math

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.protection import (
    ACCUMULATED,
    MODEL,
    WINDOW,
    HeaterModel,
    Protection,
    TemperatureLimit,
    false_trip_fan,
    false_trip_warm_up,
    heater_loose,
    sensor_falls_out,
    sensor_out_cold,
    switch_shorted,
)
from pincheck.physics.thermal import PLATE, ThermalBlock

BLOCK = ThermalBlock()
QUICK = ThermalBlock(sensor_lag_s=0, dead_time_s=0)
BARE = Protection("none")


def of_gain(gain_k: float, dead_time_s: float = 0) -> HeaterModel:
    """Return a first-order model with a time constant of 100 s."""
    return HeaterModel(gain_k / 100, 1.0, dead_time_s=dead_time_s)


blocks = st.builds(
    ThermalBlock,
    heat_capacity_j_k=st.floats(8, 20),
    loss_w_k=st.floats(0.1, 0.2),
    fan_loss_w_k=st.floats(0, 0.08),
    sensor_lag_s=st.floats(0, 10),
    dead_time_s=st.floats(0, 5),
    loose_lag_s=st.floats(1, 20),
)
kinds = st.sampled_from([WINDOW, ACCUMULATED, MODEL])
prints = st.floats(180, 280)
heaters = st.floats(30, 115)


class TestSensorFallsOut:
    """From 210 C, lag 10 s: the reading is 25 + 185 exp(-t / 10)."""

    @pytest.mark.parametrize(("power", "block_c"), [(40, 259.12), (60, 314.31)])
    def test_a_window_of_40_s(self, power, block_c):
        """4 K below after -10 ln(1 - 4 / 185) = 0.2186 s, so the cut comes at 40.22 s.

        40 W: 358.33 - 148.33 exp(-0.402186) = 358.33 - 148.33 x 0.66886 = 259.12 C.
        60 W: 525 - 315 x 0.66886 = 314.31 C.
        """
        outcome = sensor_falls_out(BLOCK, power, 210, WINDOW)
        assert outcome.trips
        assert outcome.cause == "out of band"
        assert outcome.cut_after_s == pytest.approx(40.22, abs=5e-3)
        assert outcome.block_c_at_cut == pytest.approx(block_c, abs=5e-3)
        assert outcome.peak_c == outcome.block_c_at_cut

    def test_an_error_sum_of_120(self):
        """Below 205 C by 12.61, 28.54, 42.95, 55.99 K: 84.1 after 3 s, 140.1 after 4 s.

        The block is at 358.33 - 148.33 exp(-0.04) = 215.82 C.
        """
        outcome = sensor_falls_out(BLOCK, 40, 210, ACCUMULATED)
        assert (outcome.cut_after_s, outcome.cause) == (4.0, "error sum")
        assert outcome.block_c_at_cut == pytest.approx(215.82, abs=5e-3)

    def test_an_excursion_of_15_k_for_5_s(self):
        """-10 ln(1 - 15 / 185) = 0.846 s and 5 s: 5.85 s, block at 218.42 C."""
        outcome = sensor_falls_out(BLOCK, 40, 210, MODEL)
        assert outcome.cut_after_s == pytest.approx(5.85, abs=5e-3)
        assert outcome.block_c_at_cut == pytest.approx(218.42, abs=5e-3)

    def test_without_protection_it_never_trips(self):
        """The block settles at 25 + 60 / 0.12 = 525 C."""
        outcome = sensor_falls_out(BLOCK, 60, 210, BARE)
        assert (outcome.trips, outcome.cut_after_s, outcome.block_c_at_cut) == (False, None, None)
        assert outcome.peak_c == pytest.approx(525, abs=1e-9)
        assert outcome.trajectory[-1].block_c > 500

    def test_a_minimum_above_ambient_cuts_as_well(self):
        """25 + 185 exp(-t / 10) falls to 60 C after 10 ln(185 / 35) = 16.65 s."""
        outcome = sensor_falls_out(BLOCK, 40, 210, evolve(BARE, min_c=60))
        assert outcome.cause == "below minimum"
        assert outcome.cut_after_s == pytest.approx(16.65, abs=5e-3)

    def test_a_minimum_below_ambient_never_cuts(self):
        """A loose sensor is not a broken wire."""
        assert not sensor_falls_out(BLOCK, 40, 210, evolve(BARE, min_c=5)).trips

    def test_the_trajectory_ends_at_the_cut(self):
        """What is plotted is what was reported."""
        outcome = sensor_falls_out(BLOCK, 40, 210, WINDOW)
        last = outcome.trajectory[-1]
        assert last.time_s == outcome.cut_after_s
        assert last.block_c == pytest.approx(outcome.block_c_at_cut)
        assert last.sensor_c == pytest.approx(outcome.lowest_reading_c)

    @given(blocks, heaters, heaters, prints, kinds)
    def test_a_stronger_heater_is_never_cooler_at_the_cut(self, block, one, other, at_c, kind):
        """The time depends on the sensor alone, the temperature on the heater."""
        weak, strong = (
            sensor_falls_out(block, power, at_c, kind) for power in sorted((one, other))
        )
        assert weak.cut_after_s == pytest.approx(strong.cut_after_s)
        assert weak.block_c_at_cut <= strong.block_c_at_cut + 1e-9

    @given(st.floats(5, 120), st.floats(5, 120))
    def test_a_longer_period_cuts_later(self, one, other):
        """Weakening the protection never helps."""
        short, long = (
            sensor_falls_out(BLOCK, 40, 210, evolve(WINDOW, trip_period_s=period))
            for period in sorted((one, other))
        )
        assert short.cut_after_s <= long.cut_after_s
        assert short.peak_c <= long.peak_c


class TestSensorOutCold:
    """The sensor hangs out of the block from the start of a warm-up."""

    def test_a_watch_window_of_20_s(self):
        """No rise in 20 s: 358.33 - 333.33 exp(-0.2) = 85.42 C."""
        outcome = sensor_out_cold(BLOCK, 40, 210, WINDOW)
        assert (outcome.cut_after_s, outcome.cause) == (20.0, "no rise")
        assert outcome.block_c_at_cut == pytest.approx(85.42, abs=5e-3)

    def test_an_error_sum(self):
        """The gain is missing after 20 s, the sum is long full: 21 s, 88.14 C."""
        outcome = sensor_out_cold(BLOCK, 40, 210, ACCUMULATED)
        assert (outcome.cut_after_s, outcome.cause) == (21.0, "error sum")
        assert outcome.block_c_at_cut == pytest.approx(88.14, abs=5e-3)

    def test_a_window_without_watch_never_trips(self):
        """The band holds only once the target was reached: 25 + 40 / 0.12 = 358.33 C."""
        unwatched = evolve(WINDOW, watch_increase_c=None, watch_period_s=None)
        outcome = sensor_out_cold(BLOCK, 40, 210, unwatched)
        assert not outcome.trips
        assert outcome.peak_c == pytest.approx(358.33, abs=5e-3)

    def test_a_model(self):
        """Expected (25 + 0.75 x 333 - 25) / 100 = 2.5 K/s; 2 x 4 s dead time and 5 s: 13.25 s."""
        known = evolve(MODEL, model=of_gain(333, dead_time_s=4))
        outcome = sensor_out_cold(BLOCK, 40, 210, known)
        assert (outcome.cut_after_s, outcome.cause) == (13.25, "slow")

    def test_a_model_whose_cooling_bends(self):
        """0.75 x 2.4 = 1.8 K/s at ambient: 2 x 4.5 s, then more than 5 s: 14.25 s, 69.27 C."""
        known = evolve(MODEL, model=HeaterModel(2.4, 0.36, 1.35, 4.5))
        outcome = sensor_out_cold(BLOCK, 40, 210, known)
        assert (outcome.cut_after_s, outcome.cause) == (14.25, "slow")
        assert outcome.block_c_at_cut == pytest.approx(69.27, abs=5e-3)

    def test_a_model_slower_than_noise_tells_nothing(self):
        """0.75 x 0.33 = 0.2475 K/s of the 0.25 K/s that noise may be."""
        slow = evolve(MODEL, model=HeaterModel(0.33, 0.3, 1.35, 8))
        outcome = sensor_out_cold(PLATE, 200, 60, slow)
        assert (outcome.trips, outcome.unknown[-27:]) == (False, "too slow to tell from noise")
        quick = evolve(MODEL, model=HeaterModel(0.34, 0.3, 1.35, 8))
        assert sensor_out_cold(PLATE, 200, 60, quick).trips

    def test_an_error_sum_that_takes_long_to_fill(self):
        """180 K s each second: 900000 K s are full after 5000 s, not never."""
        patient = evolve(ACCUMULATED, max_error_ks=900_000)
        assert sensor_out_cold(BLOCK, 40, 210, patient).cut_after_s == 5000

    def test_an_unknown_model_is_not_taken_for_a_pass(self):
        """Neither trip nor pass: the reason says so."""
        outcome = sensor_out_cold(BLOCK, 40, 210, MODEL)
        assert not outcome.trips
        assert outcome.unknown == "the heater model of the firmware is not known"


class TestHeaterLoose:
    """The heater slips out of the block at 210 C."""

    def test_a_window_of_40_s(self):
        """25 + 185 exp(-t / 100) falls 4 K in -100 ln(181 / 185) = 2.186 s: cut at 42.19 s.

        The block is then at 25 + 185 exp(-0.42186) = 146.33 C, and was never above 210 C.
        """
        outcome = heater_loose(QUICK, 40, 210, WINDOW)
        assert outcome.cut_after_s == pytest.approx(42.186, abs=5e-3)
        assert outcome.block_c_at_cut == pytest.approx(146.33, abs=5e-3)
        assert outcome.peak_c == 210

    def test_lag_and_dead_time_delay_the_cut(self):
        """The same fault seen later."""
        quick, slow = heater_loose(QUICK, 40, 210, WINDOW), heater_loose(BLOCK, 40, 210, WINDOW)
        assert slow.cut_after_s > quick.cut_after_s + 1

    def test_a_heater_that_still_gives_enough_is_not_noticed(self):
        """210 C needs 185 x 0.12 = 22.2 W, 55.5 % of 40 W."""
        held = heater_loose(BLOCK, 40, 210, WINDOW, share=0.56)
        assert (held.trips, held.peak_c, held.reaches_s) == (False, 210, 0)
        assert heater_loose(BLOCK, 40, 210, WINDOW, share=0.5).trips


class TestSwitchShorted:
    """Full power for ever."""

    def test_what_gives_way_first(self):
        """60 W settle at 525 C; from 210 C they pass 260 C after 100 ln(315 / 265) = 17.28 s.

        300 C follow after 100 ln(315 / 225) = 33.65 s, 550 C never.
        """
        liner, sensor, block = (
            TemperatureLimit("liner", 260),
            TemperatureLimit("sensor", 300),
            TemperatureLimit("block", 550),
        )
        shorted = switch_shorted(BLOCK, 60, 25, [block, sensor, liner], from_c=210)
        assert shorted.settle_c == pytest.approx(525)
        assert [way.limit for way in shorted.gives_way] == [liner, sensor, block]
        assert shorted.first.limit == liner
        assert [way.after_s for way in shorted.gives_way] == [
            pytest.approx(17.28, abs=5e-3),
            pytest.approx(33.65, abs=5e-3),
            None,
        ]

    def test_a_heater_too_weak_to_harm(self):
        """25 + 25 / 0.12 = 233.33 C stays below every limit."""
        shorted = switch_shorted(BLOCK, 25, 25, [TemperatureLimit("liner", 240)])
        assert shorted.settle_c == pytest.approx(233.33, abs=5e-3)
        assert shorted.first is None

    def test_a_limit_already_passed_gives_way_at_once(self):
        """Printing at 270 C with a liner for 240 C."""
        assert (
            switch_shorted(
                BLOCK, 40, 25, [TemperatureLimit("liner", 240)], from_c=270
            ).first.after_s
            == 0
        )


class TestWarmUp:
    """A normal warm-up must not trip."""

    @pytest.mark.parametrize("kind", [WINDOW, ACCUMULATED])
    @pytest.mark.parametrize("power", [30, 40, 60])
    def test_usual_heaters_pass(self, kind, power):
        """30 W settle at 275 C and reach 240 C."""
        outcome = false_trip_warm_up(BLOCK, power, 240, kind)
        assert not outcome.trips
        assert outcome.reaches_s is not None

    def test_when_the_reading_is_there(self):
        """100 ln(333.33 / 118.33) = 103.56 s with 40 W and no lag."""
        outcome = false_trip_warm_up(QUICK, 40, 240, WINDOW)
        assert outcome.reaches_s == pytest.approx(103.56, abs=5e-3)
        assert outcome.trajectory[-1].sensor_c == pytest.approx(240)

    def test_a_weak_heater_trips_the_watch(self):
        """10 W end at 108.33 C; 20 s from t on bring 83.33 x 0.18127 exp(-t / 100) K.

        From 200 s on that is 2.04 K, from 220 s on 1.67 K: cut at 240 s, block at 100.77 C.
        """
        outcome = false_trip_warm_up(QUICK, 10, 210, WINDOW)
        assert (outcome.cut_after_s, outcome.cause) == (240.0, "no rise")
        assert outcome.block_c_at_cut == pytest.approx(100.77, abs=5e-3)
        assert outcome.reaches_s is None

    def test_a_weak_heater_fills_the_error_sum(self):
        """From 202 s on, 10 W need more than 20 s for 2 K: cut soon after that gain is missed."""
        outcome = false_trip_warm_up(QUICK, 10, 210, ACCUMULATED)
        assert outcome.cause == "error sum"
        assert 222 < outcome.cut_after_s < 245

    def test_a_slow_bed_trips_a_watch_made_for_a_hot_end(self):
        """100 W on a bed: the dead time and lag of 8 s leave less than 2 K of rise in 10 s."""
        hasty = evolve(WINDOW, watch_period_s=10)
        assert false_trip_warm_up(PLATE, 100, 90, hasty).cause == "no rise"
        assert not false_trip_warm_up(PLATE, 100, 90, evolve(WINDOW, watch_period_s=60)).trips

    def test_a_heater_that_ends_a_little_below_target_is_watched_no_longer(self):
        """Watched up to 210 - 2 - 4 - 1 = 203 C; 108 W at 0.6 W/K end at 205 C, tau 20 s.

        205 - 180 exp(-t / 20) is 201.70 C after 80 s and 203.79 C, 2.09 K more, after 100 s. From
        there the next 20 s would bring 0.77 K only.
        """
        block = ThermalBlock(loss_w_k=0.6, sensor_lag_s=0, dead_time_s=0)
        outcome = false_trip_warm_up(block, 108, 210, WINDOW)
        assert (outcome.trips, outcome.reaches_s) == (False, None)

    @pytest.mark.parametrize(("gain", "trips"), [(471.1, False), (484.4, True)])
    def test_the_model_forgives_a_quarter_of_its_gain_and_some_noise(self, gain, trips):
        """40 W bring (333.33 - rise) / 100 K/s, expected is (0.75 gain - rise) / 100.

        0.75 x 471.1 = 353.3 asks for 0.20 K/s more, 0.75 x 484.4 = 363.3 for 0.30; 0.25 is free.
        """
        known = evolve(MODEL, model=of_gain(gain))
        assert false_trip_warm_up(QUICK, 40, 240, known).trips is trips

    def test_what_a_model_with_bent_cooling_expects(self):
        """0.75 x 2.4 - 0.36 x 1.85^1.35 - 0.25 = 1.8 - 0.826 - 0.25 = 0.724 K/s at 210 C."""
        model = HeaterModel(2.4, 0.36, 1.35)
        assert model.expects_k_s(0) == pytest.approx(1.55)
        assert model.expects_k_s(-20) == pytest.approx(1.55)
        assert model.expects_k_s(185) == pytest.approx(0.724, abs=5e-4)

    def test_a_measured_model_is_not_tripped_by_the_lag_of_a_sensor(self):
        """The plate brings 200 / 540 = 0.370 K/s at once, 0.75 x 0.7 - 0.25 = 0.275 are asked for.

        With 60 s of lag the reading rises slower than that for 82 s.
        """
        known = evolve(MODEL, model=HeaterModel(0.7, 0.3, 1.35, 1.0))
        assert not false_trip_warm_up(evolve(PLATE, sensor_lag_s=60), 200, 60, known).trips

    def test_a_cold_room_below_the_minimum_trips_at_once(self):
        """3 C in the shed, minimum 5 C."""
        outcome = false_trip_warm_up(BLOCK, 40, 210, evolve(WINDOW, min_c=5), ambient_c=3)
        assert (outcome.cut_after_s, outcome.cause) == (0.0, "below minimum")

    def test_a_model_of_a_stronger_heater_trips(self):
        """The firmware knows 60 W (500 K) and expects 3.75 K/s, 25 W bring 25 / 12 = 2.08 K/s."""
        strong = evolve(MODEL, model=of_gain(500, dead_time_s=4))
        assert false_trip_warm_up(BLOCK, 25, 200, strong).cause == "slow"
        assert not false_trip_warm_up(BLOCK, 60, 200, strong).trips


class TestPartFan:
    """The part fan starts at print temperature."""

    def test_a_heater_that_cannot_hold_the_target_trips(self):
        """30 W with the fan settle at 25 + 30 / 0.17 = 201.47 C, from 220 C with 70.59 s.

        4 K are lost after 70.59 ln(18.529 / 14.529) = 17.17 s: cut at 57.17 s, at 209.71 C.
        """
        outcome = false_trip_fan(QUICK, 30, 220, WINDOW)
        assert outcome.cut_after_s == pytest.approx(57.17, abs=5e-3)
        assert outcome.block_c_at_cut == pytest.approx(209.71, abs=5e-3)
        assert outcome.reaches_s is None

    @pytest.mark.parametrize("kind", [WINDOW, ACCUMULATED, MODEL])
    def test_a_heater_with_reserve_recovers(self, kind):
        """40 W could hold 260 C: the reading dips below 210 C and is back."""
        outcome = false_trip_fan(BLOCK, 40, 210, kind)
        assert not outcome.trips
        assert 209 < outcome.lowest_reading_c < 210
        assert outcome.reaches_s > BLOCK.dead_time_s

    @pytest.mark.parametrize(("period", "trips"), [(40, False), (1, True)])
    def test_a_short_dip_trips_only_a_short_period(self, period, trips):
        """The reading is 0.2 K low at its lowest and back at 210 C after 4.2 s."""
        strict = evolve(WINDOW, trip_hysteresis_c=0.1, trip_period_s=period)
        assert false_trip_fan(BLOCK, 40, 210, strict).trips is trips

    def test_full_power_ends_when_the_reading_is_back(self):
        """The 260 C that full power would come to are no trip of the maximum."""
        assert not false_trip_fan(BLOCK, 40, 210, evolve(WINDOW, max_c=230)).trips

    def test_the_dip_grows_with_the_dead_time(self):
        """While the reading stands still nothing answers."""
        dips = [
            false_trip_fan(ThermalBlock(dead_time_s=dead), 40, 210, WINDOW).lowest_reading_c
            for dead in (1, 3, 5)
        ]
        assert dips == sorted(dips, reverse=True)

    def test_a_fan_that_does_not_blow_on_the_block_changes_nothing(self):
        """No loss, no dip."""
        outcome = false_trip_fan(ThermalBlock(fan_loss_w_k=0), 40, 210, WINDOW)
        assert not outcome.trips
        assert outcome.lowest_reading_c == pytest.approx(210)


def sampled_cut(readings, step_s, floor_c, trip_period_s):
    """Return when a controller sampling `readings` cuts: a timer restarted inside the band."""
    fine = 0.0
    for number, reading in enumerate(readings):
        if reading >= floor_c:
            fine = number * step_s
        elif number * step_s - fine > trip_period_s:
            return number * step_s
    return None


@pytest.mark.parametrize("lag", [0.5, 5.0, 20.0])
@pytest.mark.parametrize(("period", "band"), [(40, 4), (20, 2), (60, 15)])
def test_a_sampled_controller_on_independent_curves_cuts_at_the_same_time(lag, period, band):
    """Explicit stepping of the two equations in 1 ms, the controller sampling 20 times a second."""
    block, cooling = 210.0, []
    sensor = block
    for number in range(150_000):
        if number % 50 == 0:
            cooling.append(sensor)
        sensor += (block - sensor) / lag * 1e-3
        block += (25 - block) / 100 * 1e-3
    expected = sampled_cut(cooling, 0.05, 210 - band, period)
    protection = evolve(WINDOW, trip_period_s=period, trip_hysteresis_c=band)
    outcome = heater_loose(ThermalBlock(sensor_lag_s=lag, dead_time_s=0), 40, 210, protection)
    assert outcome.cut_after_s == pytest.approx(expected, abs=0.11)


@given(blocks, heaters, prints, kinds, st.floats(0, 1))
def test_every_scenario_respects_its_physical_bounds(block, power, at_c, kind, share):
    """Nothing gets hotter than start or settling point, and what trips says when and why."""
    hottest = max(at_c, 25 + power / block.loss_w_k) + 1e-6
    for outcome in (
        sensor_falls_out(block, power, at_c, kind),
        sensor_out_cold(block, power, at_c, kind),
        heater_loose(block, power, at_c, kind, share=share),
        false_trip_warm_up(block, power, at_c, kind),
        false_trip_fan(block, power, at_c, kind),
    ):
        assert 25 - 1e-6 <= outcome.lowest_reading_c <= outcome.peak_c + 1e-6 <= hottest + 1e-6
        assert outcome.trips == (outcome.cut_after_s is not None) == (outcome.cause is not None)
        assert all(math.isfinite(sample.block_c) for sample in outcome.trajectory)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: Protection("window", trip_hysteresis_c=4), "trip_period_s is not given; 'window'"),
        (lambda: Protection("timer"), "protection 'timer': allowed is window, accumulated"),
        (
            lambda: evolve(WINDOW, trip_period_s=0),
            "protection period 0 s: allowed is 0.1 to 36000 s",
        ),
        (lambda: evolve(WINDOW, trip_hysteresis_c=-1), "hysteresis -1 K"),
        (lambda: HeaterModel(0, 1), "model heating rate 0 K/s: allowed is 0.0001 to 1000 K/s"),
        (lambda: TemperatureLimit("liner", 5000), "temperature 5000 C: allowed is -60 to 1500 C"),
        (lambda: heater_loose(BLOCK, 40, 210, WINDOW, share=2), "duty 2: allowed is 0 to 1"),
        (lambda: false_trip_fan(BLOCK, 1e5, 210, WINDOW), "power 100000 W"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
