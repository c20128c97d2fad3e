"""Every figure that physics takes is refused when it is absurd, with what is allowed."""

import math
import re
from collections.abc import Callable, Mapping
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pincheck.physics import (
    conductor,
    divider,
    fan,
    heater,
    monitor,
    motor,
    ntc,
    platinum,
    protection,
    pwm,
    supply,
    switch,
    thermal,
    thermocouple,
    tolerance,
)

BEAD = ntc.BetaCurve(100000, 25, 3950)
LINER = protection.TemperatureLimit("liner", 260)
BLOCK = thermal.ThermalBlock()
SMALL = fan.Fan(rated_v=12, current_a=0.1)
GUARD = monitor.WINDOW
K = thermocouple.Thermocouple("K")

SANE: Mapping[Callable[..., object], Mapping[str, float]] = {
    conductor.track_current_a: {"width_mm": 0.8, "weight_oz": 1, "rise_k": 10},
    conductor.awg_diameter_mm: {"n": 24},
    conductor.wire_ohm_m: {"awg": 24, "copper_c": 20},
    conductor.wire_current_a: {"awg": 24, "loaded": 1},
    conductor.contacts_current_a: {"contact_a": 3, "count": 2},
    divider.Divider: {
        "pullup_ohm": 4700, "bits": 12, "tolerance_pct": 1, "series_ohm": 0, "scale": 1,
    },
    divider.RtdAmplifier: {"reference_ohm": 430},
    divider.parallel_ohm: {},
    fan.Fan: {"rated_v": 12, "current_a": 0.1, "inrush_ratio": 2},
    partial(fan.on_supply, SMALL): {"volt": 12},
    heater.element_ohm: {"rated_v": 24, "rated_w": 40},
    heater.current_a: {"volt": 24, "ohm": 14.4},
    heater.rms_current_a: {"volt": 24, "ohm": 14.4, "duty": 1},
    heater.power_w: {"volt": 24, "ohm": 14.4, "duty": 1},
    heater.power_band_w: {"volt": 24, "ohm": 14.4, "ohm_pct": 5, "volt_pct": 5, "duty": 1},
    monitor.HeaterModel: {
        "rate_k_s": 3, "cooling_k_s": 0.6, "cooling_exponent": 1.3, "dead_time_s": 2,
    },
    partial(monitor.Protection, "window"): {
        "trip_hysteresis_c": 4, "trip_period_s": 40, "max_error_ks": 120, "watch_period_s": 20,
        "watch_increase_c": 2, "max_c": 300, "min_c": 5,
    },
    motor.peak_a: {"rms_a": 1},
    motor.rms_a: {"peak_a": 1},
    motor.real_rms_a: {"set_rms_a": 0.8, "assumed_ohm": 0.11, "fitted_ohm": 0.11},
    motor.winding_loss_w: {"rms_a": 1, "phase_ohm": 2},
    ntc.BetaCurve: {"r0_ohm": 1e5, "t0_c": 25, "beta_k": 3950, "low_c": -40, "high_c": 300},
    ntc.SteinhartHartCurve.from_letters: {"r25_ohm": 1e5, "beta_k": 4725, "c": 7e-8},
    platinum.PlatinumCurve: {"r0_ohm": 100},
    platinum.class_tolerance_k: {"temp_c": 100},
    partial(protection.sensor_falls_out, BLOCK, protection=GUARD): {
        "heater_w": 40, "at_c": 210, "ambient_c": 25,
    },
    partial(protection.sensor_out_cold, BLOCK, protection=GUARD): {
        "heater_w": 40, "target_c": 210, "ambient_c": 25,
    },
    partial(protection.heater_loose, BLOCK, protection=GUARD): {
        "heater_w": 40, "at_c": 210, "ambient_c": 25, "share": 0,
    },
    partial(protection.switch_shorted, BLOCK, limits=(LINER,)): {
        "heater_w": 40, "ambient_c": 25, "from_c": 25,
    },
    partial(protection.false_trip_warm_up, BLOCK, protection=GUARD): {
        "heater_w": 40, "target_c": 210, "ambient_c": 25,
    },
    partial(protection.false_trip_fan, BLOCK, protection=GUARD): {
        "heater_w": 40, "at_c": 210, "ambient_c": 25,
    },
    pwm.resolution_steps: {"timer_clock_hz": 84e6, "pwm_hz": 100, "bits": 16},
    pwm.software_max_hz: {"event_s": 1e-4, "steps": 10},
    pwm.software_steps: {"pwm_hz": 100, "event_s": 1e-4},
    partial(supply.Load, "fan"): {"current_a": 1, "duty": 1},
    partial(supply.budget, ()): {"supply_a": 10},
    switch.dissipation_w: {"current_a": 1, "rds_on_mohm": 6, "duty": 1, "hot_factor": 1.5},
    partial(switch.load, ()): {"max_a": 8, "rds_on_mohm": 6},
    thermal.ThermalBlock: {
        "heat_capacity_j_k": 12, "loss_w_k": 0.12, "fan_loss_w_k": 0.05, "sensor_lag_s": 3,
        "dead_time_s": 1, "loose_lag_s": 10,
    },
    partial(thermal.settle_c, block=BLOCK): {"power_w": 40, "ambient_c": 25},
    partial(thermal.time_to_c, block=BLOCK): {
        "from_c": 25, "to_c": 200, "power_w": 40, "ambient_c": 25,
    },
    partial(thermal.heating, block=BLOCK): {"power_w": 40, "from_c": 25, "ambient_c": 25},
    partial(thermal.trajectory, block=BLOCK): {
        "power_w": 40, "from_c": 25, "ambient_c": 25, "until_s": 60, "count": 5,
    },
    partial(thermocouple.ThermocoupleAmplifier, K): {"gain": 247.3, "mv_per_c": 10},
    partial(thermocouple.read_as_c, fitted=K, assumed=K): {"true_c": 200, "junction_c": 25},
    partial(tolerance.ntc_band, curve=BEAD): {
        "true_c": 100, "r25_pct": 1, "beta_pct": 1, "pullup_pct": 1, "t0_c": 25,
    },
    partial(tolerance.platinum_band, curve=platinum.PlatinumCurve(100)): {
        "true_c": 100, "class_k": 0.8, "pullup_pct": 1,
    },
}  # fmt: skip

CASES = [(call, name) for call, figures in SANE.items() for name in figures]
ABSURD = [math.nan, math.inf, -math.inf, -1e12, 1e12]


def label(value: object) -> str:
    """Return the name of a call for the test's title."""
    inner = getattr(value, "func", value)
    return value if isinstance(value, str) else str(getattr(inner, "__qualname__", inner))


@pytest.mark.parametrize("call", SANE, ids=label)
def test_sane_figures_are_taken(call):
    """What is refused below is refused for the one absurd figure alone."""
    if SANE[call]:
        call(**SANE[call])


@pytest.mark.parametrize(("call", "name"), CASES, ids=label)
@settings(max_examples=10)
@given(huge=st.floats(max_value=-1e11) | st.floats(min_value=1e11))
def test_each_absurd_figure_is_refused_with_what_is_allowed(call, name, huge):
    """Not a number, without end, or a trillion of anything: quantity, value and range are named."""
    for absurd in (*ABSURD, huge):
        refused(call, {**SANE[call], name: absurd})


def refused(call, figures):
    with pytest.raises(ValueError, match=r"allowed (is|are)|the curve holds") as caught:
        call(**figures)
    assert re.match(r"[A-Za-z]", str(caught.value))
