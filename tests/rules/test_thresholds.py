"""Each figure at which a rule turns, walked just below and just above: what follows differs."""

import sys
from collections.abc import Callable
from math import log
from typing import Any

import pytest

from pincheck.model.claim import PinValue, Place, SensorValue
from pincheck.physics.fan import Fan, on_supply
from pincheck.physics.thermal import ThermalBlock, heating
from pincheck.rules.fans.third_wire import tachometer
from pincheck.rules.limits.setting_out_of_range import BOUNDS, Bound
from pincheck.rules.registry import rules
from pincheck.sensors import sensor

NEAR = 1e-4
"""How far beside a figure is just beside it, as a share of it."""

HERON, CURLEW, MARSH = "boards/heron-2.toml", "boards/curlew-1.toml", "marsh-230-c.toml"
DIVIDER = "divider = { top_ohm = 10000, bottom_ohm = 20000 }"
RTD = (
    (
        HERON,
        'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
        'PC5"\namplifier = "MAX31865"\nreference_ohm = 430',
    ),
    (MARSH, 'part = "ntc-100k-104gt-2"', 'part = "pt100"'),
)
GLASS = sensor("ntc-100k-b4267-glass").curve
WIDE = {"sensor-table-differs": 0.5, "power-over-switch": 0.05}
"""Where the demo cannot be put exactly beside a figure: caps are whole percent, points of a curve
leave 0.1 K between them."""
NO_THRESHOLD = {
    "INRUSH_RATIO",  # what data sheets leave out
    *("USUAL_C", "_USUAL_C", "_USUAL_HZ", "LESS_LOST", "MARGIN_C"),  # what edits propose
    *("PLATINUM_C", "_PROBED_C"),  # where a law ends, and where readings are told
    "_SMALL_CAP",  # under which a doubt is told of the cap as well, never a finding
}
FANS = ("threshold_c", "min_duty", "kick_start_s", "pwm_hz")


def bounded(bound: Bound) -> Callable[[float], dict[str, Any]]:
    """Return what claims a setting of a role that the bound holds for, and no narrower one."""
    group = bound.groups[0] if bound.groups else "chamber"
    role = "part.fan" if bound.attribute in FANS else f"{group}.heater"
    role = "bed1.heater" if (role, bound.attribute) == ("bed.heater", "max_c") else role
    role = "hotend.heater" if bound.attribute == "min_extrude_c" else role
    return lambda x: {"changed": {(role, bound.attribute): x}}


def on_bed_supply(volt: float) -> tuple[tuple[str, str, str], ...]:
    return (
        (HERON, "[nets.HEATB]", f"[nets.L]\nsupply_v = {volt}\n[nets.HEATB]"),
        (HERON, 'pins = ["24V", "HEATB"]', 'pins = ["L", "HEATB"]'),
    )


def probe(ohm: float, to_v: float, chip: str = "rp2040", pin: str = "gpio5") -> dict[str, Any]:
    old = f'chip_pin = "gpio5"\npullup = {{ ohm = 4700, to_v = 5.0 }}\n{DIVIDER}'
    new = f'chip_pin = "{pin}"\npullup = {{ ohm = {ohm}, to_v = {to_v} }}'
    wiring = ((CURLEW, 'chip = "rp2040"', f'chip = "{chip}"'), (CURLEW, old, new))
    return {"assembly": "marsh-230-curlew.toml", "wiring": wiring}


def glass(off_k: float) -> dict[str, Any]:
    """Return points of the glass part, each at a temperature that is off by as much."""
    points = tuple((at + off_k, GLASS.ohm(at)) for at in (25.0, 150.0, 280.0))
    value = SensorValue("bead", figures=(("points", points),))
    return {"changed": {("hotend.sensor", "table"): value}, "style": "section"}


def fit(file: str, old: str, new: str) -> dict[str, Any]:
    return {"wiring": ((file, old, new),)}


def track(rise_k: float) -> dict[str, Any]:
    """Return a track of the hot end's 1.667 A that warms by as much (IPC-2221, outer layer)."""
    square_mil = (24 / 14.4 / (0.048 * rise_k**0.44)) ** (1 / 0.725)
    width_mm = square_mil / 1.378 * 0.0254
    lines = f'track = {{ width_mm = {width_mm}, weight_oz = 1.0, layer = "outer" }}'
    return fit(HERON, "[nets.HEAT0]", f"[nets.HEAT0]\n{lines}")


def pulldown(volt: float) -> dict[str, Any]:
    """Return a pull-down that leaves so much of 3.3 V behind the chip's 30 k."""
    ohm = 30_000 * volt / (3.3 - volt)
    net = f'[nets.HEAT0]\nchip_pin = "PA15"\npulldown = {{ ohm = {ohm}, to_v = 0.0 }}\n'
    made = fit(HERON, '[nets.HEAT0]\nchip_pin = "PC8"\n', net)
    return {**made, "changed": {("hotend.heater", "pin"): PinValue("PA15", Place("main", "PA15"))}}


def pulses(x: float) -> dict[str, Any]:
    pin = PinValue("PC6", Place("main", "PC6"))
    counted = {("hotend.tachometer", "pin"): pin, ("hotend.tachometer", "pulses"): 2 * (1 + x)}
    return {"changed": counted, "wiring": tachometer("")[:4]}


def letters(beta_k: float) -> dict[str, Any]:
    value = SensorValue("thermistor", figures=(("r25_ohm", 1e5), ("beta_k", beta_k), ("c", 0.0)))
    return {"changed": {("hotend.sensor", "table"): value}, "style": "gcode"}


def trip(seconds: float, name: str = "trip_period_s") -> dict[str, Any]:
    return {"changed": {("hotend.heater", name): seconds}}


def measured(capacity: float, loss: float) -> dict[str, Any]:
    role = "hotend.heater"
    return {"changed": {(role, "heat_capacity_j_k"): capacity, (role, "loss_w_k"): loss}}


def taus(x: float) -> dict[str, Any]:
    """Return a period after which a heater that came loose is cut, so many C / G of 100 s."""
    cooling = heating(0.0, 210.0, 25.0, ThermalBlock())
    return trip(100 * x - (cooling.first(lambda c: c < 206.0, 0.0, 600.0) or 0.0))


def past_260(x: float, start_c: float) -> float:
    """Return how long 40 W take to 260 + x C: the demo's block settles at 358.3, tau 100 s."""
    settles = 25 + 40 / 0.12
    return 100 * log((settles - start_c) / (settles - 260 - x))


def pwm_at(hz: float) -> dict[str, Any]:
    """Return the hot-end fan at a frequency, and a servo of 50 Hz on the same timer."""
    servo, fan = '[nets.SERVO0]\nchip_pin = "PA1"', '[nets.FAN1]\nchip_pin = "PB7"'
    at = PinValue("PB7", Place("main", "PB7"))
    role = "hotend.fan"
    return {
        "changed": {("probe.servo", "pin"): at, (role, "pwm_hz"): hz, (role, "hardware_pwm"): True},
        "style": "gcode",
        "wiring": ((HERON, servo, servo.replace("PA1", "PB7")),
                   (HERON, fan, fan.replace("PB7", "PA1"))),
    }  # fmt: skip


# rule: for each of its figures, in their order, what of the demo's machine is at the figure x
WALKS: dict[str, tuple[Callable[[float], dict[str, Any]], ...]] = {
    "heater-voltage-differs": (
        lambda x: {"wiring": on_bed_supply(24 * x)},
        lambda x: {"wiring": on_bed_supply(24 * x)},
    ),
    "power-over-switch": (
        lambda x: fit(HERON, "max_a = 8.0, rds_on_mohm = 6.0", f"max_a = {24 / 14.4 * x**0.5}"),
        lambda x: fit(HERON, "[nets.HEATB]", f"[nets.HEATB]\nfuse_a = {24 / 2.88 / x}"),
        lambda x: track(40 + 100 * (x - 40)),
    ),
    "heater-on-at-start": (pulldown,),
    "tachometer-miscounts": (pulses,),
    "fan-voltage-differs": (
        lambda x: {"fit": on_supply(Fan(24.0, 0.1), 24 * x).fit},
        lambda x: {"fit": on_supply(Fan(24.0, 0.1), 24 * x).fit},
    ),
    "sensor-table-differs": (glass, glass),
    "sensor-pullup-differs": (
        lambda x: {"changed": {("hotend.sensor", "pullup_ohm"): 4700 * (1 + x)}},
    ),
    "probe-signal-voltage": (
        lambda x: probe(4700, 3.3 + x),
        lambda x: probe((5 - 3.6) / x, 5.0, "stm32f103rct6", "PA1"),
        lambda x: probe((5 - 3.6) / x, 5.0),
    ),
    "heater-model-differs": (
        lambda x: {"changed": {("hotend.heater", "heater_w"): 40 * (1 + x)}},
        lambda x: measured(8 * x, 0.12),
        lambda x: measured(12.0, 0.15 * x),
    ),
    "sensor-falls-out-too-hot": (
        lambda x: trip(past_260(x, 210) - 10 * log(185 / 181)),
        lambda x: {"changed": {("bed.heater", "max_c"): 35 + x}},
    ),
    "sensor-out-at-warm-up": (lambda x: trip(past_260(x, 25), "watch_period_s"),),
    "heater-loose-unnoticed": (taus,),
    "pwm-clash": (lambda x: pwm_at(50 * (1 + x)),),
    "pwm-too-fast-for-software": (
        lambda x: {
            "changed": {("part.fan", "pwm_hz"): 1e4 / x, ("part.fan", "software_pwm"): True}
        },
    ),
    "motor-current-over-rating": (lambda x: {"changed": {("extruder.motor", "current_a"): x}},),
    "sense-resistor-differs": (
        lambda x: {"changed": {("extruder.motor", "sense_ohm"): 0.11 * (1 + x)}},
    ),
    "hotend-fan-threshold-high": (
        lambda x: {"changed": {("hotend.fan", "threshold_c"): x}},
        lambda x: {"changed": {("hotend.fan", "threshold_c"): x}},
    ),
    "fan-lowest-too-high": (lambda x: {"changed": {("part.fan", "min_duty"): x}},),
    "sensor-reference-differs": (
        lambda x: {
            "changed": {
                ("hotend.sensor", "table"): SensorValue("MAX31865", "pt100"),
                ("hotend.sensor", "reference_ohm"): 430 * (1 + x),
            },
            "style": "section",
            "wiring": RTD,
        },
    ),
    "min-temp-hides-broken-wire": (
        lambda x: {
            **letters(4267),
            "changed": {**letters(4267)["changed"], ("hotend.heater", "min_c"): x},
        },
        lambda x: {
            **letters(4267),
            "changed": {**letters(4267)["changed"], ("hotend.heater", "min_c"): x},
        },
    ),
    "setting-out-of-range": tuple(map(bounded, BOUNDS)),
}
TOLD = [
    pytest.param(rule.id, walk, at, id=f"{rule.id}-{number}")
    for rule in rules()
    for number, (walk, at) in enumerate(zip(WALKS.get(rule.id, ()), rule.thresholds, strict=True))
]


def outcome(asked) -> tuple[Any, ...]:
    """What follows: severities, what is offered, what agrees and what is not checked."""
    worst = [(finding.severity, bool(finding.changes)) for finding in asked.findings]
    return sorted(worst), sorted(asked.agreed), sorted(asked.unchecked)


@pytest.mark.parametrize(("rule", "walk", "at"), TOLD)
def test_just_below_and_just_above_something_else_follows(machine, ask, rule, walk, at):
    step = WIDE.get(rule, max(abs(float(at)), 1.0) * NEAR)

    def follows(x: float) -> Any:
        made = walk(x)
        return made["fit"] if "fit" in made else outcome(ask(rule, machine(**made)))

    below, above = follows(at - step), follows(at + step)
    assert below != above
    if rule not in WIDE:
        assert follows(float(at)) in (below, above)


def test_no_figure_is_compared_with_that_the_reference_does_not_tell():
    """Every figure of a rule's file, by name, is one of its thresholds or says why it is none."""
    told = {id(at) for rule in rules() for at in rule.thresholds}
    for rule in rules():
        names = vars(sys.modules[rule.check.__module__]).items()
        figures = {name: it for name, it in names if isinstance(it, float) and name.isupper()}
        hidden = {name for name, it in figures.items() if id(it) not in told}
        assert hidden <= NO_THRESHOLD, rule.id
