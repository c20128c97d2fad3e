"""`min-temp-hides-broken-wire`."""

import pytest
from attrs import evolve

from pincheck.model.claim import SensorValue
from pincheck.model.finding import Severity

RULE = "min-temp-hides-broken-wire"


def test_a_minimum_below_any_reading(machine, ask):
    """An open thermistor reads the cold end of its table, -50 C, and -50 is above -250."""
    found = ask(RULE, machine({("hotend.heater", "min_c"): -250.0})).finding
    assert found.severity is Severity.DANGER
    assert "reads about -50 C and the minimum is -250 C" in found.message
    assert found.numbers[0].value == -50.0
    assert [(c.attribute, c.value, c.weakens) for c in found.changes] == [("min_c", 5.0, "")]


@pytest.mark.parametrize("min_c", [-15.0, 0.0, 5.0])
def test_near_miss_a_minimum_for_a_cold_workshop(machine, ask, min_c):
    asked = ask(RULE, machine({("hotend.heater", "min_c"): min_c}))
    assert not asked.findings
    assert ("hotend.heater", "min_c") in asked.agreed


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
