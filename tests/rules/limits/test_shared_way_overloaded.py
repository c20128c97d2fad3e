"""`shared-way-overloaded`."""

import pytest

from pincheck.model.finding import Severity

RULE = "shared-way-overloaded"


def contact(ampere):
    old = "[connectors.link]\npitch_mm = 2.54\nrows = 2\nkeyed = true\ncontact_a = "
    return (("boards/lapwing-c.toml", f"{old}3.0", f"{old}{ampere}"),)


def test_two_fans_on_one_ribbon_contact(machine, ask):
    """0.3 + 0.3 A on the one contact of ribbon pin 9, rated 0.5 A; one fan alone would do.

    The four contacts of 24 V carry 4 x 0.5 x 0.8 = 1.6 A and get 24 / 14.4 = 1.667 A from the
    heater alone: that is another rule's.
    """
    found = ask(RULE, machine(wiring=contact("0.5"))).finding
    assert found.message == (
        "The part fan and the second part fan together draw 0.60 A, but 1 contact of tool.link "
        "may carry 0.50 A: it overheats and may melt, or loses contact."
    )
    assert [n.value for n in found.numbers] == pytest.approx([0.6, 0.5])


def test_heater_and_fans_on_the_supply_of_the_ribbon(machine, ask):
    """24 / 14.4 + 0.1 + 0.3 + 0.3 = 2.367 A on 4 x 0.7 x 0.8 = 2.24 A."""
    found = ask(RULE, machine(wiring=contact("0.7"))).finding
    assert "together draw 2.37 A, but 4 contacts of tool.link may carry 2.24 A" in found.message


def test_near_miss_just_enough(machine, ask):
    """4 x 0.75 x 0.8 = 2.4 A for 2.367 A, and 0.75 A for 0.6 A."""
    asked = ask(RULE, machine(wiring=contact("0.75")))
    assert not asked.findings
    assert ("part.fan", "current_a") in asked.agreed


def test_a_fuse_carries_all_that_its_rail_feeds_and_blows(machine, ask):
    """24 / 2.88 + 24 / 14.4 + 0.1 + 0.3 + 0.3 = 10.7 A; a fuse of 8 A holds 8 x 1.1 = 8.8 A."""
    wiring = (("boards/heron-2.toml", "[nets.24V]", "[nets.24V]\nfuse_a = 8"),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert "together draw 10.70 A, but the fuse may carry 8.80 A: it blows" in found.message
    assert found.severity is Severity.FAULT


def test_near_miss_a_fuse_that_holds(machine, ask):
    """10 x 1.1 = 11 A."""
    wiring = (("boards/heron-2.toml", "[nets.24V]", "[nets.24V]\nfuse_a = 10"),)
    assert not ask(RULE, machine(wiring=wiring)).findings
