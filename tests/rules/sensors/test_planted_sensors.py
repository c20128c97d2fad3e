"""Sentences of planted sensor faults, held against a simulation that knows nothing of pincheck.

Curves are data sheets' points and equations, the block is scipy's (12 J/K, 0.12 W/K, 39.5 W, lag
3 s, dead time 1 s), and a heater at full power is watched by what is commonly known of each style.
"""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

from pincheck.model.claim import SensorValue

KELVIN = 273.15
STEP_S = 0.25
GLASS = (
    (0, 333000), (25, 100000), (50, 34770), (100, 5556), (150, 1360), (200, 439.3), (250, 174),
    (300, 80.65),
)  # fmt: skip
"""Semitec GT-2 data sheet, 104GT."""


def table(points):
    """Return ohm at C through the points of a data sheet, ln R over 1/T."""
    over = sorted((1 / (at + KELVIN), math.log(ohm)) for at, ohm in points)
    curve = PchipInterpolator(*zip(*over, strict=True), extrapolate=True)
    return lambda at: math.exp(curve(1 / (at + KELVIN)))


def beta(ohm, kelvin):
    return lambda at: ohm * math.exp(kelvin * (1 / (at + KELVIN) - 1 / (25 + KELVIN)))


def platinum(ohm):
    """IEC 60751 above 0 C."""
    return lambda at: ohm * (1 + 3.9083e-3 * at - 5.775e-7 * at * at)


def believing(fitted, assumed, pullup, taken, low, high):
    """Return what is believed at a true temperature, an assumed curve looked up by bisection."""
    grid = np.linspace(low, high, 4001)
    ohms = np.array([assumed(at) for at in grid])
    order = np.argsort(ohms)

    def believed(at):
        share = fitted(at) / (fitted(at) + pullup)
        return float(np.interp(taken * share / (1 - share), ohms[order], grid[order]))

    return believed


def warmed(believed, target_c, style):
    """Return how a warm-up ends: reached, cut or settled, when, block and sensor."""
    times = np.arange(0, 900, STEP_S)
    run = solve_ivp(
        lambda _, at: ((39.5 - 0.12 * (at[0] - 25)) / 12, (at[0] - at[1]) / 3),
        (0, 900), [25, 25], dense_output=True, rtol=1e-6, max_step=10,
    )  # fmt: skip
    block, sensor = run.sol(times)
    sensor = np.interp(times - 1, times, sensor, left=25)
    shown = np.array([believed(at) for at in sensor])
    there = int(np.argmax(shown >= target_c)) if max(shown) >= target_c else None
    cut = WATCHES[style](times, shown, target_c)
    if there is not None and (cut is None or there <= cut):
        return "reached", times[there], block[there], sensor[there]
    end = -1 if cut is None else cut
    return "cut" if cut is not None else "settled", times[end], block[end], sensor[end]


def window(times, shown, target_c):
    """2 K in each 20 s, until 2 + 4 + 1 K below the target."""
    before, at = shown[0], 80
    while before < target_c - 7 and at < len(times):
        if shown[at] < before + 2:
            return at
        before, at = shown[at], at + 80
    return None


def accumulated(times, shown, target_c):
    """2 K in each 20 s, else what lacks to 5 K below the target, up to 120 K s."""
    error, goal, deadline, near, starting = 0.0, shown[0] + 2, 20, True, True
    for at in range(4, len(times), 4):
        lack = target_c - 5 - shown[at]
        if lack <= 0:
            return None
        error += lack
        if not near:
            if error >= 120:
                return at
        elif shown[at] >= goal:
            starting, error, goal, deadline = False, 0.0, shown[at] + 2, times[at] + 20
        elif times[at] >= deadline:
            near = False
        elif starting:
            goal = min(goal, shown[at] + 2)
    return None


WATCHES = {"define": window, "section": accumulated}
SECTION = {
    ("hotend.heater", name): value
    for name, value in (("protection_kind", "accumulated"), ("max_error_ks", 120.0),
                        ("trip_hysteresis_c", 5.0), ("overshoot_c", None), ("max_c", 255.0))
}  # fmt: skip
DEFINE = {("hotend.heater", "min_c"): -100.0}
CASES = {
    # name: style, fitted part and its curve, the table and its curve, fitted and assumed pull-up
    "beta 3950": ("section", "", GLASS, ("r25_ohm", 1e5, 3950.0), 4700, 4700),
    "beta 4725": ("section", "", GLASS, ("r25_ohm", 1e5, 4725.0), 4700, 4700),
    "half of R25": ("section", "", GLASS, ("r25_ohm", 5e4, 4267.0), 4700, 4700),
    "twice R25": ("section", "", GLASS, ("r25_ohm", 2e5, 4267.0), 4700, 4700),
    "a tenth of R25": ("define", "", GLASS, ("r25_ohm", 1e4, 3950.0), 4700, 4700),
    "beta 2800": ("section", "", GLASS, ("r25_ohm", 1e5, 2800.0), 4700, 4700),
    "platinum fitted": ("section", "pt1000", platinum(1000), ("r25_ohm", 1e5, 3950.0), 4700, 4700),
    "pull-up too low": ("section", "", GLASS, None, 4700, 2200),
    "pull-up too high": ("section", "", GLASS, None, 4700, 10000),
    "a little too high": ("section", "", GLASS, None, 4700, 5600),
}


@pytest.mark.parametrize("name", CASES)
def test_a_sentence_follows_from_what_happens(machine, ask, name):
    style, part, curve, letters, fitted, taken = CASES[name]
    value = SensorValue("5", "ntc-100k-b4267-glass")
    true = table(curve) if isinstance(curve, tuple) else curve
    assumed, span = true, (-60, 500)
    if letters:
        _, ohm, kelvin = letters
        value = SensorValue("bead", figures=(("r25_ohm", ohm), ("beta_k", kelvin), ("c", 0.0)))
        assumed = beta(ohm, kelvin)
    changed = {
        **(SECTION if style == "section" else DEFINE),
        ("hotend.sensor", "table"): value,
        ("hotend.sensor", "pullup_ohm"): float(taken),
        ("hotend.heater", "min_c"): -100.0,
    }
    wiring = (
        (("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', f'part = "{part}"'),) if part else ()
    )
    rule = "sensor-table-differs" if letters else "sensor-pullup-differs"
    told = ask(rule, machine(changed, style=style, wiring=wiring)).finding.message
    believed = believing(true, assumed, fitted, taken, *span)
    target_c = float(told.partition("asked for ")[2].partition(" C")[0])
    how, when_s, block_c, sensor_c = warmed(believed, target_c, style)
    figures = [float(word) for word in told.partition("asked for ")[2].replace(",", "").split()
               if word.lstrip("-").isdigit()]  # fmt: skip
    if "never heats" in told:
        assert believed(25) == pytest.approx(figures[-1], abs=2)
    elif "is cut after" in told:
        assert how == "cut"
        assert figures[-2:] == [pytest.approx(when_s, abs=2), pytest.approx(block_c, abs=3)]
    elif "more than" in told:
        assert sensor_c > figures[-1]
    else:
        assert how == "reached"
        assert figures[-1] == pytest.approx(sensor_c, abs=2.5)
