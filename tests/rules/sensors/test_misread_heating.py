"""What the firmware does by a wrong reading, by hand: cold reading, rising or falling, then power.

The hot end: 40 W, 12 J/K and 0.12 W/K settle at 358.33 C, tau 100 s; 3 s of lag and 1 s of dead
time are next to nothing. The plate: 200 W, 520 J/K and 1.1 W/K settle at 206.8 C, tau 473 s.
"""

import pytest

from pincheck.model.claim import SensorValue
from pincheck.model.finding import Severity

RULE = "sensor-table-differs"
HEATER, BED = "hotend.heater", "bed.heater"
ACCUMULATED = {"protection_kind": "accumulated", "max_error_ks": 120.0, "trip_hysteresis_c": 5.0}
MODEL = {
    "protection_kind": "model", "trip_period_s": 5.0, "trip_hysteresis_c": 15.0,
    "model_rate_k_s": 2.4, "model_cooling_k_s": 0.36, "model_cooling_exponent": 1.35,
    "model_dead_time_s": 4.5,
}  # fmt: skip
STYLES = {"define": {}, "section": ACCUMULATED, "gcode": MODEL}
PT1000 = (("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "pt1000"'),)


def claims(role, style, **more):
    return {(role, name): figure for name, figure in {**STYLES[style], **more}.items()}


@pytest.mark.parametrize(
    ("style", "said"),
    [
        ("define", "until it is cut after 20 s, the block at 85 C"),
        ("section", "until it is cut after 21 s, the block at 88 C"),
        ("gcode", "until it is cut after 14 s, the block at 58 C"),
    ],
)
def test_a_reading_that_falls_is_heated_until_the_protection_trips(machine, ask, style, said):
    """A platinum sensor read as an NTC: 1097 ohm cold are 159 C, 1385 ohm at 100 C are 149 C.

    Window: after 20 s no 2 K more: 358.33 - 333.33 exp(-0.2) = 85.4 C. Error sum: the gain is
    missed at 20 s, the sum is full a second later: 358.33 - 333.33 exp(-0.21) = 88.1 C. Model: 2 x
    4.5 s, then more than 5 s of fault: 14.25 s; 40 W at 2.4 K/s are 16.67 J/K and 0.0744 W/K (the
    firmware's own figures): 562.4 - 537.4 exp(-14.25 / 224) = 58.1 C.
    """
    found = ask(RULE, machine(claims(HEATER, style), style=style, wiring=PT1000)).finding
    assert "it heats at full power, and reads ever less, " + said in found.message
    assert found.severity is Severity.FAULT


@pytest.mark.parametrize(("style", "end_c"), [("define", 500), ("section", 850), ("gcode", 850)])
def test_a_reading_off_the_hot_end_when_cold_heats_nothing(machine, ask, style, end_c):
    """An NTC of 100 k read as a platinum sensor of 1000 ohm: the hot end of its table."""
    table = {("hotend.sensor", "table"): SensorValue("1047", "pt1000")}
    found = ask(RULE, machine({**claims(HEATER, style), **table}, style=style)).finding
    assert f"cold it reads {end_c} C, above its maximum of 270 C" in found.message
    assert "nothing ever heats" in found.message
    assert found.severity is Severity.FAULT


@pytest.mark.parametrize("style", ["define", "section"])
def test_a_plate_settles_before_it_reads_what_is_asked(machine, ask, style):
    """Read as 10 k, a bead of 100 k reads 115 C at a true 218 C: 200 W do not get there.

    Nothing watches: 25 + 200 / 1.1 = 206.8 C, far above the magnet's 120 C, or with a cap of 0.15
    25 + 30 / 1.1 = 52.3 C.
    """
    table = {("bed.sensor", "table"): SensorValue("4", "ntc-10k-b3950")}
    bed = {**claims(BED, style), **table, (BED, "min_c"): -250.0, (BED, "protection"): False}
    found = ask(RULE, machine(bed, style=style)).finding
    assert "asked for 115 C it heats at full power for ever: the plate settles at 207 C" in (
        found.message
    )
    assert found.severity is Severity.DANGER
    capped = {**bed, (BED, "max_power"): 0.15}
    assert "the plate settles at 52 C" in ask(RULE, machine(capped, style=style)).finding.message


def test_a_reading_below_the_minimum_stops_it_cold(machine, ask):
    """The same bead reads -19 C cold, below 5 C."""
    table = {("bed.sensor", "table"): SensorValue("4", "ntc-10k-b3950")}
    found = ask(RULE, machine(table)).finding
    assert "cold it reads -19 C, below its minimum of 5 C: the firmware stops" in found.message
    assert found.severity is Severity.FAULT
