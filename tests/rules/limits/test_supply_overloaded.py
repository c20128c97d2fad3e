"""`supply-overloaded`."""

import pytest

RULE = "supply-overloaded"


def supply(ampere):
    old = "supply_v = 24.0\nsupply_max_a = 14.6"
    return (("boards/heron-2.toml", old, old.replace("14.6", ampere)),)


def test_everything_on_is_more_than_the_supply_gives(machine, ask):
    """24 / 14.4 = 1.667 A, 24 / 2.88 = 8.333 A, fans 0.1 + 0.3 + 0.3 A: 10.7 A on 8 A."""
    found = ask(RULE, machine(wiring=supply("8.0"))).finding
    assert found.message == (
        "Heaters and fans together draw 10.7 A from a supply of 8.0 A, most of it the bed heater "
        "and the hot-end heater: the supply switches off or sags in the middle of a print."
    )
    assert found.numbers[0].value == pytest.approx(10.7)


def test_a_cap_on_the_bed_counts(machine, ask):
    """8.333 x 0.6 = 5.0 A, with 1.667 and 0.7 A: 7.4 A on 8 A."""
    case = machine({("bed.heater", "max_power"): 0.6}, wiring=supply("8.0"))
    assert not ask(RULE, case).findings


def test_near_miss_just_enough(machine, ask):
    asked = ask(RULE, machine(wiring=supply("10.8")))
    assert not asked.findings
    assert ("bed.heater", "current_a") in asked.agreed
