"""`shared-way-overloaded`."""

import pytest

from pincheck.model.finding import Severity

RULE = "shared-way-overloaded"


def contact(ampere):
    old = "[connectors.link]\npitch_mm = 2.54\nrows = 2\nkeyed = true\ncontact_a = "
    return (("boards/lapwing-c.toml", f"{old}3.0", f"{old}{ampere}"),)


def test_two_fans_on_one_ribbon_contact(machine, ask):
    """0.3 + 0.3 A on the one contact of ribbon pin 9, rated 0.5 A; one fan alone would do. Each
    is 80 ohm behind 0.35 V of losses: 2 x 23.7 V / 80 ohm = 0.59 A. The four contacts of 24 V
    carry 4 x 0.5 A = 2 A and get 1.65 A of the heater and 0.69 A of the fans.
    """
    pin, supply = ask(RULE, machine(wiring=contact("0.5"))).findings
    assert pin.message == (
        "The part fan and the second part fan together draw 0.59 A, but contact 9 of tool.link "
        "may carry 0.50 A: it overheats and may melt, or loses contact."
    )
    assert [n.value for n in pin.numbers] == pytest.approx([0.595, 0.5], abs=0.001)
    assert "together draw 2.34 A, but contacts 1,2,5,6 of tool.link may carry" in supply.message


def test_near_miss_just_enough(machine, ask):
    """2.34 A of 4 x 1 A; the worst of the four takes half as much again as its quarter."""
    asked = ask(RULE, machine(wiring=contact("1.0")))
    assert not asked.findings
    assert ("part.fan", "current_a") in asked.agreed


def test_how_four_contacts_share_may_decide(machine, ask):
    """2.34 A of 4 x 0.7 A = 84 %, and half as much again where one contact is the best."""
    asked = ask(RULE, machine(wiring=contact("0.7")))
    assert not asked.findings
    assert asked.unchecked["part.fan", "current_a"].startswith("depends on how contacts 1,2,5,6")


def test_a_fuse_carries_all_that_its_rail_feeds_and_blows(machine, ask):
    """8.1 A of the bed, 1.6 of the hot end, 0.7 of the fans, 0.08 A that make the probe's 5 V and
    the chip's 3.3: 10.5 A; a fuse of 8 A holds 8 x 1.1 = 8.8 A."""
    wiring = (("boards/heron-2.toml", "[nets.24V]", "[nets.24V]\nfuse_a = 8"),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert "together draw 10.54 A, but the fuse may carry 8.80 A: it blows" in found.message
    assert found.severity is Severity.FAULT


def test_near_miss_a_fuse_that_holds(machine, ask):
    """10 x 1.1 = 11 A."""
    wiring = (("boards/heron-2.toml", "[nets.24V]", "[nets.24V]\nfuse_a = 10"),)
    assert not ask(RULE, machine(wiring=wiring)).findings
