"""Each verdict on a protection, held against an ODE solver for blocks drawn from the whole band.

The courses are scipy's (DOP853), and the firmware that watches them is written here once more, a
look every quarter of a second, from what is commonly known of each kind.
"""

from functools import cache

import numpy as np
import pytest
from attrs import evolve
from plant import clean, names
from scipy.integrate import solve_ivp

from pincheck import api
from pincheck.analysis.case import Case
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.model.finding import Agreement, Finding
from pincheck.rules.registry import rule_named

DEMO = [f"demo {style}" for style in ("define", "section", "gcode")]
SPENT_TAUS = 5.0


@cache
def checked(machine):
    if machine in DEMO:
        read = api.load_configuration(api.demo(f"clean/{machine.split()[1]}"))
        return api.check(read, api.load_wiring(api.demo("marsh-230-c.toml")))
    return api.check(*clean(machine))


class Watched:
    """One block of the band in one scenario, and when the firmware cuts its heater."""

    def __init__(self, found, block, watts, late):
        self.found, self.block, self.watts, self.late = found, block, watts, late
        self.step_s = 0.25 if found.wired.role.startswith("hotend") else 1.0
        self.tau_s = block.heat_capacity_j_k / block.loss_w_k
        periods = (getattr(found.protection, name) or 0.0 for name in
                   ("trip_period_s", "watch_period_s", "max_error_ks"))  # fmt: skip
        until_s = min(6 * self.tau_s + 300, 9000) + sum(periods)
        self.times = np.arange(self.step_s, until_s, self.step_s)

    def course(self, start_c, watts, *, air_lag_s=None, dead_s=0.0, lag_s=0.0, first_w=None):
        """Return block and reading at every look; `first_w` is the power while nothing shows."""
        ambient, block = self.found.ambient_c, self.block
        air = air_lag_s is not None

        def slope(time, state):
            hot, sensor = state
            power = watts if first_w is None or time >= dead_s else first_w
            drives, lag = (ambient, air_lag_s) if air else (hot, max(lag_s, 0.01))
            rate = (power - block.loss_w_k * (hot - ambient)) / block.heat_capacity_j_k
            return rate, (drives - sensor) / lag

        run = solve_ivp(slope, (0, self.times[-1]), [start_c] * 2, "LSODA", dense_output=True,
                        rtol=1e-5, atol=1e-5, max_step=self.times[-1] / 20)  # fmt: skip
        hot, sensor = run.sol(self.times)
        shown = np.interp(self.times - dead_s, self.times, sensor, left=start_c)
        return hot, shown

    def holding(self, shown):
        """Return the look at which a controller at its target cuts, None for never."""
        protection, target = self.found.protection, self.found.at_c
        lack = target - protection.trip_hysteresis_c - shown
        run = 0.0
        for at, missing in enumerate(lack):
            if protection.kind != "accumulated":
                run = run + self.step_s if missing > 0 else 0.0
                if run >= protection.trip_period_s * self.late:
                    return at
            elif self.times[at] % 1 == 0:
                run = run + missing if missing > 0 else 0.0
                if run >= protection.max_error_ks * self.late and missing > 0:
                    return at
        return None

    def warming(self, shown):
        """Return the look at which a controller on its way to the target cuts, None for never."""
        protection, target = self.found.protection, self.found.at_c
        kind, ends = protection.kind, int(np.argmax(shown >= target)) or len(shown)
        gain, first = protection.watch_increase_c, shown[0]
        allowed = round((protection.watch_period_s or 0.0) * self.late / self.step_s)
        if kind == "window":
            if gain is None or not allowed:
                return None
            near = target - gain - protection.trip_hysteresis_c - 1
            before, at = first, allowed - 1
            while before < near and at < len(shown):
                if shown[at] < before + gain:
                    return at
                before, at = shown[at], at + allowed
            return None
        if kind == "accumulated":
            floor, error = target - protection.trip_hysteresis_c, 0.0
            goal, deadline, near, starting = first + gain, allowed, True, True
            each = round(1 / self.step_s)
            for at in range(each - 1, len(shown), each):
                reads = shown[at]
                if reads >= floor:
                    return None
                error += floor - reads
                if not near:
                    if error >= protection.max_error_ks * self.late:
                        return at
                elif reads >= goal:
                    starting, error, goal, deadline = False, 0.0, reads + gain, at + allowed
                elif at + 1 >= deadline:
                    near = False
                elif starting:
                    goal = min(goal, reads + gain)
            return None
        model, faults = protection.model, 0
        if model is None:
            return None
        rates = np.gradient(shown, self.step_s)
        for at in range(ends):
            rise = max(shown[at] - self.found.ambient_c, 0.0) / 100
            wants = 0.75 * model.rate_k_s - model.cooling_k_s * rise**model.cooling_exponent - 0.25
            slow = rates[at] < wants and self.times[at] > 2 * model.dead_time_s
            faults = faults + 1 if slow else max(0, faults - 1)
            if shown[at] >= target - 1:
                return None
            if faults * self.step_s > protection.trip_period_s * self.late:
                return at
        return None

    def hottest_c(self, hot, cut):
        return hot[cut] if cut is not None else max(hot[-1], hot[0])


def falls_out(run, limit_c):
    hot, shown = run.course(run.found.at_c, run.watts, air_lag_s=run.block.loose_lag_s)
    return run.hottest_c(hot, run.holding(shown)) <= limit_c


def out_cold(run, limit_c):
    hot, _ = run.course(run.found.ambient_c, run.watts)
    return run.hottest_c(hot, run.warming(np.full_like(hot, run.found.ambient_c))) <= limit_c


def warms_up(run, _):
    # only the firmware knows the lag of the sensor that its model was measured with
    own = run.found.protection.kind == "model"
    lag, dead = (0.0, 0.0) if own else (run.block.sensor_lag_s, run.block.dead_time_s)
    _, shown = run.course(run.found.ambient_c, run.watts, lag_s=lag, dead_s=dead)
    return run.warming(shown) is None


def comes_loose(run, _):
    lag, dead = run.block.sensor_lag_s, run.block.dead_time_s
    _, shown = run.course(run.found.at_c, 0.0, lag_s=lag, dead_s=dead)
    cut = run.holding(shown)
    return cut is not None and run.times[cut] <= SPENT_TAUS * run.tau_s * (2 - run.late)


def blown_on(run, _):
    hold_w = run.block.loss_w_k * (run.found.at_c - run.found.ambient_c)
    run.block = evolve(run.block, loss_w_k=run.block.loss_w_k + run.block.fan_loss_w_k)
    lag, dead = run.block.sensor_lag_s, run.block.dead_time_s
    watts = max(run.watts, 0.0)
    _, shown = run.course(run.found.at_c, watts, lag_s=lag, dead_s=dead, first_w=min(hold_w, watts))
    # a controller lets nothing rise above its target
    return run.holding(np.minimum(shown, run.found.at_c)) is None


SCENARIOS = {
    "sensor-falls-out-too-hot": falls_out,
    "sensor-out-at-warm-up": out_cold,
    "false-trip-at-warm-up": warms_up,
    "heater-loose-unnoticed": comes_loose,
    "false-trip-by-fan": blown_on,
}


CUTS_WANTED = "sensor-falls-out-too-hot", "sensor-out-at-warm-up", "heater-loose-unnoticed"


def drawn(found):
    """Yield the corners of the band: most power on least heat capacity, and so on."""
    light, heavy = found.heated.light, found.heated.heavy
    strong, weak = found.quick.heater.power_w, found.slow.heater.power_w
    yield strong, light
    yield weak, heavy
    yield strong, evolve(light, loss_w_k=heavy.loss_w_k)
    yield weak, evolve(heavy, loss_w_k=light.loss_w_k)


def outcomes_of(holds, found, limit_c, late, hotter_k=0.0):
    return [holds(Watched(found, block, watts, late), limit_c + hotter_k)
            for watts, block in drawn(found)]  # fmt: skip


TIMES = "trip_period_s", "max_error_ks", "watch_period_s"


def stretched(result, factor):
    """Return the case with every time and sum of its protections longer by a factor."""
    claims = tuple(
        evolve(claim, value=factor * claim.value)
        if claim.attribute in TIMES and isinstance(claim.value, float)
        else claim
        for claim in result.claims.all
    )
    return Case(evolve(result.claims, all=claims), result.trace, result.assembly)


def disagreements(case):
    """Yield each outcome that a block of the band refutes.

    Agreement: it holds for every block. Contradiction: for none, or not for the measured one.
    Else: for some. Looks a quarter of a second apart, and 2 % of a period, refute nothing.
    """
    for rule, holds in SCENARIOS.items():
        for told in rule_named(rule).outcomes(case):
            role = told.spots[0][0] if isinstance(told, Finding) else told.role
            found = scene(case, case.trace.find(role))
            reason = getattr(told, "reason", "")
            judged = not reason or any(w in reason for w in ("depends", "tolerance", "takes"))
            if not isinstance(found, Scene) or not judged:
                continue
            least, best = (it.max_c if it else 0.0 for it in (found.weakest, found.at_best))
            later = 0.98 if rule in CUTS_WANTED else 1.02
            if isinstance(told, Agreement):
                if not all(generous := outcomes_of(holds, found, least, later, 1.0)):
                    yield f"{rule} {role}: agrees, and {generous}"
                continue
            strict = outcomes_of(holds, found, least if reason else best, 2 - later, -1.0)
            if isinstance(told, Finding):
                # Where somebody measured the block, it is the one that fails.
                if any(strict) if found.heated.assumed else all(strict):
                    yield f"{rule} {role}: contradicts, and {strict}"
            elif all(strict) or not any(outcomes_of(holds, found, best, later, 1.0)):
                yield f"{rule} {role}: open, and {strict}"


@pytest.mark.parametrize("machine", [*DEMO, *names()])
def test_each_protection_is_judged_as_a_solver_does(machine):
    result = checked(machine)
    assert list(disagreements(Case(result.claims, result.trace, result.assembly))) == []


@pytest.mark.parametrize("factor", [0.2, 5.0])
@pytest.mark.parametrize("machine", [*DEMO, "egret"])
def test_so_it_is_with_shorter_and_longer_times(machine, factor):
    assert list(disagreements(stretched(checked(machine), factor))) == []
