"""`setting-out-of-range`: a number that switches a check off is told, and drops none beside it."""

import pytest

from pincheck.model.finding import Severity

RULE = "setting-out-of-range"


@pytest.mark.parametrize(
    ("spot", "wild", "near"),
    [
        (("hotend.heater", "trip_hysteresis_c"), 201.0, 30.0),
        (("bed.heater", "trip_hysteresis_c"), 999.0, 10.0),
        (("hotend.heater", "trip_period_s"), 9999.0, 120.0),
        (("hotend.heater", "watch_period_s"), 99999.0, 120.0),
        (("bed.heater", "watch_period_s"), 99999.0, 1200.0),
        (("hotend.heater", "watch_increase_c"), 0.0, 2.0),
        (("hotend.heater", "max_error_ks"), 9999999.0, 240.0),
        (("hotend.heater", "max_error_ks"), float("inf"), 240.0),
        (("hotend.heater", "overshoot_c"), -50.0, 15.0),
    ],
)
def test_what_switches_a_check_off_is_a_danger(machine, ask, spot, wild, near):
    found = ask(RULE, machine({spot: wild})).finding
    assert (found.severity, found.spots) == (Severity.DANGER, (spot,))
    assert f"is {wild:g}" in found.message
    assert not ask(RULE, machine({spot: near})).findings


@pytest.mark.parametrize(
    ("spot", "wild", "near"),
    [
        (("hotend.heater", "trip_period_s"), 0.0, 5.0),
        (("part.fan", "pwm_hz"), 200_000.0, 25_000.0),
    ],
)
def test_what_cannot_work_is_a_fault(machine, ask, spot, wild, near):
    found = ask(RULE, machine({spot: wild})).finding
    assert (found.severity, found.spots) == (Severity.FAULT, (spot,))
    assert not ask(RULE, machine({spot: near})).findings


@pytest.mark.parametrize(
    ("taken", "severity"),
    [
        (300.0, Severity.FAULT),
        (0.0, Severity.ADVICE),
        (17.0, Severity.ADVICE),
        (270.0, None),
        (170.0, None),
        (60.0, None),
    ],
)
def test_filament_that_is_pushed_never_or_cold(machine, ask, taken, severity):
    """The heater of this machine goes to 270 C."""
    asked = ask(RULE, machine({("hotend.heater", "min_extrude_c"): taken}))
    assert [f.severity for f in asked.findings] == [severity] * (severity is not None)
    assert all(f.changes[0].value == 170.0 for f in asked.findings)


def test_the_limit_is_told_once(machine, ask):
    """Where the wiring states what the parts stand, the limit is judged by that alone."""
    case = machine({("hotend.heater", "max_c"): 9999.0})
    assert not ask(RULE, case).findings
    limit = ask("heater-limit-too-high", case).finding
    assert "go to 9984 C" in limit.message


def test_a_limit_that_nothing_stands_where_the_wiring_states_none(machine, ask):
    wiring = (("marsh-230-c.toml", "[limits.bed]", "[limits.chamber]"),)
    case = machine({("bed.heater", "max_c"): 2000.0}, wiring=wiring)
    limits = [f for rule in (RULE, "heater-limit-too-high") for f in ask(rule, case).findings]
    assert [f.severity for f in limits] == [Severity.DANGER]


def test_a_wild_setting_drops_no_check_beside_it(machine, ask):
    """With 999 K around it nothing ever leaves the band: 25 + 24^2 / 14.4 / 0.12 = 358 C."""
    found = ask(
        "sensor-falls-out-too-hot", machine({("hotend.heater", "trip_hysteresis_c"): 999.0})
    ).finding
    assert "358 C" in found.message


def test_a_figure_that_no_part_has(machine, ask):
    found = ask(RULE, machine({("hotend.sensor", "pullup_ohm"): 0.0})).finding
    assert found.severity is Severity.FAULT
    assert "no part has such a figure" in found.message


@pytest.mark.parametrize("value", [float("nan"), "often", True])
def test_what_is_no_number_is_not_checked(machine, ask, value):
    case = machine({("hotend.heater", "trip_hysteresis_c"): value})
    assert not ask(RULE, case).findings
    unchecked = ask("sensor-falls-out-too-hot", case).unchecked
    assert "is no number" in unchecked["hotend.heater", "trip_period_s"]


def test_cold_extrusion_let_through_by_its_switch(demo):
    result = demo("define", ("machine.h", "#define PREVENT_COLD", "//#define PREVENT_COLD"))
    (found,) = result.findings
    assert (found.rule, found.severity) == ("setting-out-of-range", Severity.ADVICE)
    assert "cold filament is ground to dust" in found.message
    assert found.claims[0].near.key == "PREVENT_COLD_EXTRUSION"


@pytest.mark.parametrize(
    ("said", "told"),
    [("M302 P1", 1), ("M302 P1 S170", 1), ("M302 P0 S170", 0), ("M302 P1\nM302 P0", 0)],
)
def test_cold_extrusion_let_through_by_a_command(demo, said: str, told: int):
    result = demo("gcode", ("toolhead.g", "M302 S170 R130", said))
    assert [f.rule for f in result.findings] == ["setting-out-of-range"] * told
    assert all(f.severity is Severity.ADVICE and f.span.line for f in result.findings)
