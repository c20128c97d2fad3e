"""`sensor-reference-differs`."""

import pytest

from pincheck.model.claim import Doubt, SensorValue
from pincheck.model.finding import Severity

RULE = "sensor-reference-differs"
WIRING = (
    (
        "boards/heron-2.toml",
        'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
        'PC5"\namplifier = "MAX31865"\nreference_ohm = 430',
    ),
    ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "pt100"'),
)


def case_of(machine, ohm, element="pt100", style="section"):
    table = SensorValue("MAX31865", element)
    claims = {("hotend.sensor", "table"): table, ("hotend.sensor", "reference_ohm"): ohm}
    return machine(claims, style=style, wiring=WIRING)


def test_a_smaller_reference_assumed_reads_low(machine, ask):
    """100 ohm sensors have 175.856 ohm at 200 C (IEC 60751); 400/430 of it is 163.587 ohm.

    100 (1 + 3.9083e-3 t - 5.775e-7 t^2) = 163.587 at t = (3.9083e-3 - sqrt(3.9083e-3^2 - 4 x
    5.775e-7 x 0.63587)) / (2 x 5.775e-7) = (3.9083e-3 - 3.71564e-3) / 1.155e-6 = 166.8 C.
    At 260 C 197.712 ohm are taken for 183.918, 222.0 C, 38 K too low; it shows 260 C for
    197.712 x 430 / 400 = 212.540 ohm, 301.4 C. Class B: 0.3 + 0.005 x 260 = 1.6 K; the
    converter 0.5 K beside it, root sum square 1.68 K.
    """
    found = ask(RULE, case_of(machine, 400.0)).finding
    assert found.severity is Severity.DANGER
    assert "reference of 430 ohm, the firmware computes with 400 ohm" in found.message
    at_200 = next(n.value for n in found.numbers if n.name.endswith("200 C"))
    assert "at a true 260 C the firmware believes 222 C, 38 K too low" in found.message
    assert "asked for 255 C it heats to 296 C" in found.message
    assert [(n.name, round(n.value, 1)) for n in found.numbers[-3:]] == [
        ("worst error, at 260 C", -38.0),
        ("tolerance at 260 C (worst case)", 2.1),
        ("tolerance at 260 C (root sum square)", 1.7),
    ]
    assert at_200 == pytest.approx(166.81, abs=0.005)
    assert [(c.attribute, c.value) for c in found.changes] == [("reference_ohm", 430.0)]


def test_near_miss_the_same_reference(machine, ask):
    asked = ask(RULE, case_of(machine, 430.0))
    assert not asked.findings
    assert asked.agreed == {("hotend.sensor", "reference_ohm")}


def test_the_element_behind_the_converter_is_compared_too(machine, ask):
    """1000 ohm assumed, 100 ohm fitted: another table, cold off its end, so that nothing heats."""
    found = ask("sensor-table-differs", case_of(machine, 430.0, "pt1000")).finding
    assert found.severity is Severity.FAULT
    agreed = ask("sensor-table-differs", case_of(machine, 430.0)).agreed
    assert ("hotend.sensor", "table") in agreed


def test_no_pull_up_is_asked_of_a_sensor_behind_an_amplifier(machine, ask):
    asked = ask("sensor-pullup-differs", case_of(machine, 430.0))
    assert "hotend.sensor" not in {role for role, _ in asked.unchecked}


def test_another_nominal_points_at_its_own_line(machine, ask):
    """138.51 ohm at 100 C (IEC 60751) read as 1000 ohm at 0 C: far below -200 C, its cold end.

    The other way round 1385.1 ohm, past the reference, are full scale: the hot end, 850 C.
    """
    claims = {
        ("hotend.sensor", "table"): SensorValue("MAX31865", "pt1000"),
        ("hotend.sensor", "reference_ohm"): 430.0,
        ("hotend.sensor", "nominal_ohm"): 1000.0,
    }
    found = ask("sensor-table-differs", machine(claims, style="section", wiring=WIRING)).finding
    assert [claim.attribute for claim in found.claims] == ["nominal_ohm", "table"]
    assert [(c.attribute, c.value) for c in found.changes] == [("nominal_ohm", 100.0)]
    assert found.severity is Severity.FAULT
    at_100 = next(n.value for n in found.numbers if n.name.endswith("100 C"))
    assert at_100 == -200.0


def test_nominal_and_reference_wrong_alike_read_right(machine, ask):
    """1000 / 4300 is 100 / 430: the converter gives the ratio alone."""
    claims = {
        ("hotend.sensor", "table"): SensorValue("MAX31865", "pt1000"),
        ("hotend.sensor", "reference_ohm"): 4300.0,
        ("hotend.sensor", "nominal_ohm"): 1000.0,
    }
    case = machine(claims, style="section", wiring=WIRING)
    assert ask(RULE, case).agreed == {("hotend.sensor", "reference_ohm")}
    assert ("hotend.sensor", "table") in ask("sensor-table-differs", case).agreed


GCODE = {("hotend.sensor", "table"): SensorValue("rtd-max31865", "converter-rtd")}
BIG = (
    (WIRING[0][0], WIRING[0][1], WIRING[0][2].replace("430", "4300")),
    (WIRING[1][0], WIRING[1][1], 'part = "pt1000"'),
)


def test_the_usual_reference_of_the_gcode_style(machine, ask):
    """Without a letter it is 400 ohm: 166.8 C at a true 200 C, as above."""
    doubts = (Doubt("the mainboard's own pull-up", attribute="pullup_ohm"),)
    found = ask(RULE, machine(GCODE, style="gcode", wiring=WIRING, doubts=doubts)).finding
    assert "reference of 430 ohm, the firmware computes with 400 ohm: " in found.message
    at_200 = next(n.value for n in found.numbers if n.name.endswith("200 C"))
    assert at_200 == pytest.approx(166.81, abs=0.005)
    assert [(c.attribute, c.value, c.claim) for c in found.changes] == [
        ("reference_ohm", 430.0, None)
    ]


def test_one_table_for_every_platinum_sensor_wants_a_tenth_of_the_reference(machine, ask):
    """1758.56 of 4300 ohm at 200 C taken as a share of 4300 of a 100 ohm sensor is past 850 C."""
    spots = {**GCODE, ("hotend.sensor", "reference_ohm"): 4300.0}
    case = machine(spots, style="gcode", wiring=BIG)
    found = ask(RULE, case).finding
    assert "4300 ohm for a platinum resistor, 1000 ohm at 0 C, the firmware computes" in (
        found.message
    )
    assert [c.value for c in found.changes] == [430.0]
    assert ("hotend.sensor", "table") in ask("sensor-table-differs", case).agreed


def test_near_miss_that_tenth(machine, ask):
    """100 / 430 is 1000 / 4300."""
    spots = {**GCODE, ("hotend.sensor", "reference_ohm"): 430.0}
    case = machine(spots, style="gcode", wiring=BIG)
    assert ask(RULE, case).agreed == {("hotend.sensor", "reference_ohm")}
    assert ("hotend.sensor", "table") in ask("sensor-table-differs", case).agreed
