"""`heater-voltage-differs`."""

import pytest

from pincheck.model.finding import Severity

RULE = "heater-voltage-differs"


def test_a_12_v_element_on_24_v(machine, ask):
    """24^2 / 3.6 ohm = 160 W instead of 12^2 / 3.6 ohm = 40 W."""
    wiring = (("marsh-230-c.toml", '"heater-24v-40w"', '"heater-12v-40w"'),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert found.severity is Severity.DANGER
    assert "is a 12 V element on 24 V: it makes 160 W instead of 40 W" in found.message
    assert found.numbers[0].value == pytest.approx(160.0)


def test_a_mains_element_on_24_v_is_only_cold(machine, ask):
    """24^2 / 88.2 ohm = 6.5 W instead of 230^2 / 88.2 ohm = 599.8 W."""
    wiring = (("marsh-230-c.toml", '"bed-24v-200w"', '"bed-230v-600w"'),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert found.severity is Severity.FAULT
    assert "it makes 7 W instead of 600 W" in found.message


def test_near_miss_another_element_of_the_same_voltage(machine, ask):
    wiring = (("marsh-230-c.toml", '"heater-24v-40w"', '"heater-24v-60w"'),)
    asked = ask(RULE, machine(wiring=wiring))
    assert not asked.findings
    assert ("hotend.heater", "supply_v") in asked.agreed


def test_a_low_voltage_element_on_mains_is_told_though_no_model_holds_for_it(machine, ask):
    """230^2 / 2.88 ohm = 18368 W: no rule computes a warm-up of that."""
    wiring = (
        ("boards/heron-2.toml", "[nets.HEATB]", "[nets.L]\nsupply_v = 230\n[nets.HEATB]"),
        ("boards/heron-2.toml", 'pins = ["24V", "HEATB"]', 'pins = ["L", "HEATB"]'),
    )
    case = machine(wiring=wiring)
    assert "is a 24 V element on 230 V" in ask(RULE, case).finding.message
    assert ask("false-trip-at-warm-up", case).unchecked
