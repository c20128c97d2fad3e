"""The firmware's protection, put together from claims whatever the style."""

import pytest
from attrs import evolve

from pincheck.analysis.heater_scene import Scene, scene
from pincheck.physics.protection import ACCUMULATED, WINDOW, HeaterModel

HEATER = "hotend.heater"


@pytest.fixture
def protection(machine):
    """Return what makes the protection of the hot end from changed claims, or its reason."""

    def make(changed, style="define"):
        case = machine({(HEATER, name): value for name, value in changed.items()}, style=style)
        found = scene(case, case.trace.find(HEATER))
        if isinstance(found, Scene):
            return evolve(found.protection, min_c=None, max_c=None)
        return found

    return make


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_the_kind_is_claimed_not_told_from_the_style(protection, style):
    assert protection({}, style) == WINDOW
    error_sum = {"protection_kind": "accumulated", "max_error_ks": 120.0, "trip_hysteresis_c": 5.0}
    assert protection(error_sum, style) == ACCUMULATED


@pytest.mark.parametrize(
    ("letters", "model"),
    [
        # R and K: E bends the cooling
        ({"rate_k_s": 2.43, "cooling_k_s": 0.35, "cooling_exponent": 1.35, "dead_time_s": 5.5},
         HeaterModel(2.43, 0.35, 1.35, 5.5)),
        # R and C: 100 / 140 = 0.714 K/s per 100 K
        ({"rate_k_s": 2.43, "tau_s": 140.0, "dead_time_s": 5.5},
         HeaterModel(2.43, 100 / 140, 1.0, 5.5)),
        # A and C: 340 / 140 = 2.43 K/s
        ({"gain_k": 340.0, "tau_s": 140.0, "dead_time_s": 5.5},
         HeaterModel(340 / 140, 100 / 140, 1.0, 5.5)),
        # the newer letters outweigh what an older line left behind
        ({"gain_k": 250.0, "tau_s": 400.0, "rate_k_s": 2.0, "cooling_k_s": 0.4, "dead_time_s": 5.0},
         HeaterModel(2.0, 0.4, 1.0, 5.0)),
        ({"gain_k": 340.0, "tau_s": 140.0}, None),
        ({"gain_k": 340.0, "dead_time_s": 5.5}, None),
        ({}, None),
    ],
)  # fmt: skip
def test_the_heater_model_in_each_set_of_letters(protection, letters, model):
    changed = {f"model_{name}": value for name, value in letters.items()}
    assert protection({"protection_kind": "model", **changed}).model == model


def test_a_power_cap_slows_the_model_down(protection):
    """2.4 x 0.5 = 1.2 K/s."""
    changed = {"model_rate_k_s": 2.4, "model_cooling_k_s": 0.4, "model_dead_time_s": 5.0}
    found = protection({"protection_kind": "model", "max_power": 0.5, **changed})
    assert found.model == HeaterModel(1.2, 0.4, 1.0, 5.0)


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"protection": None}, "do not say whether"),
        ({"protection": False}, "switched off"),
        ({"protection_kind": None}, "do not say how"),
        ({"protection_kind": "timer"}, "'timer' is none of window, accumulated, model"),
        ({"trip_period_s": None}, "do not give the time outside the band before the cut"),
        ({"watch_increase_c": None}, "do not give the rise expected in that time"),
        ({"trip_period_s": 0.0}, "protection period 0 s: allowed is"),
        ({"protection_kind": "model", "model_rate_k_s": 2.0, "model_cooling_k_s": 0.0,
          "model_dead_time_s": 5.0}, "0 K/s is not 0.0001 to 1000"),
    ],
)  # fmt: skip
def test_what_is_missing_or_absurd_is_a_reason(protection, changed, reason):
    assert reason in protection(changed)


def test_without_a_watch_no_rise_is_asked_for(protection):
    found = protection({"watch_period_s": 0.0, "watch_increase_c": None})
    assert (found.watch_period_s, found.watch_increase_c) == (0.0, None)
