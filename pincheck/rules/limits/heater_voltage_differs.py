"""The heater is made for another supply voltage.

Power goes with the square of the voltage: a 12 V element on 24 V makes four times its rated
power. It shoots past its target before the sensor shows it, and when sensor, switch or firmware
fail it melts what holds it before any protection acts. A 24 V element on 12 V makes a quarter and
never gets to temperature.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, part_of
from pincheck.analysis.heater_element import resistance_ohm
from pincheck.model.finding import Agreement, Finding, Input, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.physics import heater
from pincheck.rules.rule import Outcomes, example, rule

_TRIMMED = "common practice: supplies are trimmed by up to about a tenth"
_LOWEST_RATIO = Threshold(
    0.85, "share", "supply over the heater's rated voltage", _TRIMMED,
    below="fault: less than 72 % of its power", above="agrees",
)  # fmt: skip
_HIGHEST_RATIO = Threshold(
    1.15, "share", "supply over the heater's rated voltage", _TRIMMED,
    below="agrees", above="danger: more than 132 % of its power",
)  # fmt: skip


@rule(
    Severity.DANGER,
    source="Ohm's law",
    causes=(
        *("power-over-switch", "supply-overloaded", "shared-way-overloaded"),
        *("sensor-out-at-warm-up", "sensor-falls-out-too-hot", "heater-loose-unnoticed"),
        *("false-trip-at-warm-up", "false-trip-by-fan", "heater-model-differs"),
    ),
    fires=example(
        "section",
        ("marsh-230-c.toml", 'part = "heater-24v-40w"', 'part = "heater-12v-40w"'),
    ),
    quiet=example(
        "section",
        ("marsh-230-c.toml", 'part = "heater-24v-40w"', 'part = "heater-24v-60w"'),
        ("toolhead.cfg", "max_power: 1.0", "max_power: 0.8"),
    ),
    thresholds=(
        _LOWEST_RATIO,
        _HIGHEST_RATIO,
    ),
)
def heater_voltage_differs(case: Case) -> Outcomes:
    """Compare each heater's rated voltage with the supply that its terminals reach."""
    for wired in case.fitted("heater"):
        role, rated, volt = wired.role, wired.part.rated_v, wired.supply_v
        ohm = resistance_ohm(wired)
        if not rated or not volt or not ohm:
            what = "supply voltage" if rated and ohm else "rating of the heater"
            yield Unchecked(role, "supply_v", f"the wiring gives no {what}")
        elif _LOWEST_RATIO <= volt / rated <= _HIGHEST_RATIO:
            yield Agreement(role, "supply_v")
        else:
            yield _finding(wired, rated, volt, ohm)


def _finding(wired: Wired, rated_v: float, volt: float, ohm: float) -> Finding:
    rated_w, real_w = heater.power_w(rated_v, ohm), heater.power_w(volt, ohm)
    hot = volt > rated_v
    effect = (
        "it shoots past its target before the sensor shows it, and glows once anything fails"
        if hot
        else "it hardly warms up, and the firmware stops with a heating fault"
    )
    inputs = (
        Input("supply", volt, "V", f"wiring of {wired.role}"),
        Input("resistance", ohm, "ohm", part_of(wired)),
    )
    return Finding(
        severity=Severity.DANGER if hot else Severity.FAULT,
        spots=((wired.role, "supply_v"),),
        message=(
            f"The {roles.name(wired.role)} is a {rated_v:g} V element on {volt:g} V: it makes "
            f"{real_w:.0f} W instead of {rated_w:.0f} W; {effect}."
        ),
        facts=(fact(wired, "supply_v", f"{volt:g} V"),),
        numbers=(Number("power", real_w, "W", "U^2 / R", inputs, "Ohm's law"),),
        advice=f"Fit an element made for {volt:g} V.",
    )
