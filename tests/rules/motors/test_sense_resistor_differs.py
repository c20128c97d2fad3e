"""`sense-resistor-differs`."""

import pytest

RULE = "sense-resistor-differs"


def test_another_resistor_than_the_drivers(machine, ask):
    """(0.15 + 0.02) / (0.11 + 0.02) = 1.3077: 131 % of the current that is shown."""
    found = ask(RULE, machine({("extruder.motor", "sense_ohm"): 0.15})).finding
    assert "has 0.11 ohm, the firmware computes with 0.15 ohm: the motor gets 131%" in found.message
    assert found.numbers[0].value == pytest.approx(1.3077, abs=1e-4)
    assert found.changes[0].value == 0.11


def test_a_driver_with_its_transistors_outside_adds_nothing(machine, ask):
    """0.15 / 0.11 = 1.364, not (0.15 + 0.02) / (0.11 + 0.02)."""
    wiring = (("boards/heron-2.toml", "[drivers.E0]", '[drivers.E0]\ntype = "tmc5160"'),)
    found = ask(RULE, machine({("extruder.motor", "sense_ohm"): 0.15}, wiring=wiring)).finding
    assert "the motor gets 136% of the current that is shown" in found.message
    assert found.numbers[0].formula == "R assumed / R fitted"


def test_near_miss_the_same_value_within_its_tolerance(machine, ask):
    asked = ask(RULE, machine({("extruder.motor", "sense_ohm"): 0.112}))
    assert not asked.findings
    assert asked.agreed == {("extruder.motor", "sense_ohm")}
