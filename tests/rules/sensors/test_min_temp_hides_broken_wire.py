"""`min-temp-hides-broken-wire`."""

import pytest
from attrs import evolve

from pincheck.model.claim import SensorValue
from pincheck.model.finding import Severity

RULE = "min-temp-hides-broken-wire"


NO_TABLE = {("hotend.sensor", "table"): SensorValue("Generic 3950", "ntc-100k-b3950")}
"""A style that computes the temperature, where the define style looks it up."""


def test_a_minimum_below_any_reading(machine, ask):
    """Clamped at 0.99999 of its range, 4.7 k x 99999 = 470 M read as 100 k of beta 3950:
    1 / (1/298.15 + ln(4700) / 3950) = 182 K = -91 C. None reads below -100 C, and that is more
    than -250 C.
    """
    claims = {**NO_TABLE, ("hotend.heater", "min_c"): -250.0}
    found = ask(RULE, machine(claims, style="section")).finding
    assert found.severity is Severity.DANGER
    assert "reads -100 C at the lowest and the minimum is -250 C" in found.message
    assert found.numbers[0].value == -100.0
    assert [(c.attribute, c.value, c.weakens) for c in found.changes] == [("min_c", 5.0, "")]


def test_a_minimum_at_the_coldest_reading_notices_none(demo):
    (found,) = demo("section", ("toolhead.cfg", "min_temp: 0", "min_temp: -100")).findings
    assert (found.rule, found.severity) == (RULE, Severity.DANGER)


def test_a_minimum_that_an_open_sensor_may_just_reach_is_not_checked(machine, ask):
    """At 0.1 % below the end 4.7 k x 999 = 4.70 M: 1 / (1/298.15 + ln(47.0) / 3950) = 231 K, -42 C;
    at the clamp -91 C. A minimum of -60 C may notice either or none.
    """
    claims = {**NO_TABLE, ("hotend.heater", "min_c"): -60.0}
    asked = ask(RULE, machine(claims, style="section"))
    assert not asked.findings
    assert "reads about -60 C, too" in asked.unchecked["hotend.heater", "min_c"]


@pytest.mark.parametrize("min_c", [-15.0, 0.0, 5.0])
def test_near_miss_a_minimum_for_a_cold_workshop(machine, ask, min_c):
    claims = {**NO_TABLE, ("hotend.heater", "min_c"): min_c}
    asked = ask(RULE, machine(claims, style="section"))
    assert not asked.findings
    assert ("hotend.heater", "min_c") in asked.agreed


@pytest.mark.parametrize(("table", "end_c"), [("5", 0), ("1", -15), ("11", -27)])
def test_an_open_wire_reads_the_cold_end_of_a_table(machine, ask, table, end_c):
    """Tables 5, 1 and 11 of the define style end at 0, -15 and -27 C (its public tables)."""

    def asked(min_c):
        sensor = SensorValue(table, "ntc-100k-b3950")
        claims = {("hotend.sensor", "table"): sensor, ("hotend.heater", "min_c"): min_c}
        return ask(RULE, machine(claims))

    for min_c in (end_c, -50.0):
        found = asked(min_c).finding
        assert found.severity is Severity.DANGER
        assert f"reads {end_c} C at the lowest and the minimum is {min_c:.0f} C" in found.message
    assert ("hotend.heater", "min_c") in asked(end_c + 1.0).agreed


def test_a_wild_minimum_is_told_whatever_the_sensor(machine, ask):
    claims = {("hotend.sensor", "table"): SensorValue("nobody knows"),
              ("hotend.heater", "min_c"): -999.0}  # fmt: skip
    found = ask(RULE, machine(claims)).finding
    assert "the minimum is -999 C" in found.message


def test_no_minimum_in_the_files_is_not_checked(machine, ask):
    asked = ask(RULE, machine({("hotend.heater", "min_c"): None}))
    assert not asked.findings
    assert asked.unchecked["hotend.sensor", "min_c"] == "the files set no lowest temperature"


def test_nothing_heats_after_a_sensor_that_only_measures(machine, ask):
    """A chamber without a heater stays cold whatever its sensor reads."""
    wiring = (
        (
            "marsh-230-c.toml",
            '[fit.filament]\nrole = "filament.sensor"',
            '[fit.air]\nrole = "chamber.sensor"',
        ),
        ("marsh-230-c.toml", 'part = "filament-switch"', 'part = "ntc-100k-b3950"'),
    )
    claims = {("chamber.sensor", "table"): SensorValue("11", "ntc-100k-b3950")}
    asked = ask(RULE, machine(claims, wiring=wiring))
    assert "chamber.sensor" not in {role for role, _ in asked.unchecked}


def test_a_style_that_has_no_word_for_it_leaves_nothing_unchecked(machine, ask):
    case = machine({("hotend.heater", "min_c"): None})
    mute = evolve(case, claims=evolve(case.claims, attributes=frozenset(("table", "max_c"))))
    assert ("hotend.sensor", "min_c") not in ask(RULE, mute).unchecked
