"""`heater-loose-unnoticed`: the hot end cools with 12 / 0.12 = 100 s, the bed with 472.7 s."""

import pytest

from pincheck.model.finding import Severity

RULE = "heater-loose-unnoticed"


def test_a_band_wider_than_the_way_to_ambient_is_never_left(machine, ask):
    """210 - 190 = 20 C: the block cools to 25 C at least. Five time constants are 500 s."""
    spot = "hotend.heater", "trip_hysteresis_c"
    found = ask(RULE, machine({spot: 190.0})).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "If the hot-end heater comes loose at 210 C, nothing ever cuts it: the firmware feeds 40 W "
        "to a heater that glows in the open."
    )
    assert [number.value for number in found.numbers] == [500.0]
    assert [(c.attribute, c.value) for c in found.changes] == [("trip_hysteresis_c", 4.0)]
    assert spot in ask(RULE, machine({spot: 4.0})).agreed


def test_a_cut_long_after_the_block_went_cold(machine, ask):
    """With 3 s of lag the reading is 25 + 185 (100 exp(-t / 100) - 3 exp(-t / 3)) / 97.

    206 C at t = 4.54 s, 1 s of dead time later it shows: 5.54 + 600 = 605.5 s.
    """
    found = ask(RULE, machine({("hotend.heater", "trip_period_s"): 600.0})).finding
    assert "it is cut after 606 s, long after the block went cold" in found.message
    assert [n.value for n in found.numbers] == pytest.approx([500.0, 605.5], abs=0.05)
    assert [(c.attribute, c.value) for c in found.changes] == [("trip_period_s", 40.0)]


def test_near_miss_a_cut_while_the_block_is_still_cooling(machine, ask):
    """490 + 5.54 s is within 500 s; with 10.8 J/K and 0.132 W/K tau is 81.8 s: 5 of them 409 s."""
    asked = ask(RULE, machine({("hotend.heater", "trip_period_s"): 490.0}))
    assert not asked.findings
    assert "tolerance" in asked.unchecked["hotend.heater", "trip_hysteresis_c"]
    asked = ask(RULE, machine({("hotend.heater", "trip_period_s"): 400.0}))
    assert not asked.findings
    assert ("hotend.heater", "trip_hysteresis_c") in asked.agreed


def test_a_bed_whose_band_reaches_down_to_ambient(machine, ask):
    """60 - 36 = 24 C; 5 x 520 / 1.1 = 2363.6 s."""
    found = ask(RULE, machine({("bed.heater", "trip_hysteresis_c"): 36.0})).finding
    assert found.message == (
        "If the bed heater comes loose at 60 C, nothing ever cuts it: the firmware feeds 200 W to "
        "a heater that overheats in the open."
    )
    assert found.numbers[0].value == pytest.approx(2363.6, abs=0.05)


def test_without_protection_another_rule_speaks(machine, ask):
    asked = ask(RULE, machine({("hotend.heater", "protection"): False}))
    assert not any(spot[0] == "hotend.heater" for spot in asked.agreed)
    assert not asked.findings
