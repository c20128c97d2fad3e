"""Each verdict on a protection, held against an ODE solver for blocks drawn from the whole band."""

import math

import pytest
from plant import clean, names
from scipy.integrate import solve_ivp

from pincheck import api
from pincheck.analysis.case import Case
from pincheck.analysis.heater_scene import Scene, scene

DEMO = [f"demo {style}" for style in ("define", "section", "gcode")]
STEP_S = 0.25


def checked(machine):
    if machine in DEMO:
        folder = api.demo(f"clean/{machine.split()[1]}")
        read, assembly = (
            api.load_configuration(folder),
            api.load_wiring(api.demo("marsh-230-c.toml")),
        )
    else:
        read, assembly = clean(machine)
    return api.check(read, assembly)


def cut_s(found, reading):
    """Return when firmware that looks every 0.25 s cuts a heater at its target; None for never."""
    protection, target = found.protection, found.at_c
    out = error = 0.0
    for step in range(1, int(2000 / STEP_S)):
        time = step * STEP_S
        lack = target - protection.trip_hysteresis_c - reading(time)
        if protection.kind == "accumulated":
            if time == int(time):
                error = error + lack if lack > 0 else 0.0
            if error >= protection.max_error_ks:
                return time
        else:
            out = out + STEP_S if lack > 0 else 0.0
            if out >= protection.trip_period_s:
                return time
    return None


def hottest_c(found, capacity, loss, watts, air_lag_s):
    """Return how hot a block is at the cut when its sensor falls out, by scipy's DOP853."""
    ambient = found.ambient_c

    def slope(_, state):
        block, sensor = state
        return (watts - loss * (block - ambient)) / capacity, (ambient - sensor) / air_lag_s

    run = solve_ivp(
        slope, (0, 2000), [found.at_c] * 2, "DOP853", dense_output=True, rtol=1e-8, atol=1e-8
    )
    cut = cut_s(found, lambda time: run.sol(time)[1])
    return run.sol(cut)[0] if cut else ambient + watts / loss


@pytest.mark.parametrize("machine", [*DEMO, *names()])
def test_a_sensor_that_falls_out_is_judged_as_a_solver_does(machine):
    """Agreement: every block stays below its limit. Depends: one does, one does not."""
    result = checked(machine)
    case = Case(result.claims, result.trace, result.assembly)
    for wired in case.fitted("heater"):
        found = scene(case, wired)
        verdict = next(result.of(wired.role, "trip_period_s"), None)
        if not isinstance(found, Scene) or found.weakest is None or verdict is None:
            continue
        if found.protection.kind == "none" or verdict.so_far:
            continue
        light, heavy = found.heated.light, found.heated.heavy
        power = [found.quick.heater.power_w, found.slow.heater.power_w]
        hot = [
            hottest_c(found, capacity, loss, watts, lag)
            for capacity, loss in (
                (light.heat_capacity_j_k, light.loss_w_k),
                (heavy.heat_capacity_j_k, heavy.loss_w_k),
                (math.sqrt(light.heat_capacity_j_k * heavy.heat_capacity_j_k), light.loss_w_k),
                (light.heat_capacity_j_k, heavy.loss_w_k),
            )
            for watts, lag in ((power[0], light.loose_lag_s), (power[1], heavy.loose_lag_s))
        ]
        # A controller that looks every 0.25 s is up to 0.5 s late: half a kelvin at 10 K/s.
        limit, slack = found.weakest.max_c, 0.5 * power[0] / light.heat_capacity_j_k
        if verdict.state == "agrees":
            assert max(hot) <= limit + slack
        elif verdict.state == "contradicts":
            assert min(hot) > limit - slack
        else:
            assert min(hot) <= limit + slack
            assert max(hot) > limit - slack
