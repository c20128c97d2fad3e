"""`power-over-switch`."""

import pytest

from pincheck.model.finding import Severity

RULE = "power-over-switch"


def heater(part):
    return (("marsh-230-c.toml", '"heater-24v-40w"', f'"{part}"'),)


def test_a_60_w_heater_on_two_thin_wires_of_the_ribbon(machine, ask):
    """24 V / 9.6 ohm = 2.50 A; two wires of 28 AWG, four loaded ones in the bundle:
    2 x 1.4 A x 0.8 = 2.24 A."""
    found = ask(RULE, machine(wiring=heater("heater-24v-60w"))).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "The hot-end heater draws 2.5 A, but 2 wires of 28 AWG may carry 2.2 A: it overheats and "
        "may melt, burn or stay on for good."
    )
    assert [round(number.value, 2) for number in found.numbers] == [2.5, 2.24]
    assert [change.attribute for change in found.changes] == ["max_power"]
    # the largest cap with 2.5 A x root(cap) <= 2.24 A is (2.24 / 2.5)^2 = 0.8028, down to 0.80
    assert found.changes[0].value == pytest.approx(0.80)


def test_near_miss_the_same_heater_under_a_cap(machine, ask):
    """2.5 A x root(0.8) = 2.236 A, just under 2.24 A."""
    case = machine({("hotend.heater", "max_power"): 0.8}, wiring=heater("heater-24v-60w"))
    asked = ask(RULE, case)
    assert not asked.findings
    assert ("hotend.heater", "max_power") in asked.agreed


def test_quiet_on_the_clean_machine(machine, ask):
    """24 V / 14.4 ohm = 1.67 A."""
    asked = ask(RULE, machine())
    assert asked.agreed == {("hotend.heater", "max_power"), ("bed.heater", "max_power")}


def test_a_switch_without_rating_is_not_checked(machine, ask):
    wiring = (("boards/heron-2.toml", 'side = "low", max_a = 8.0, ', 'side = "low", '),)
    asked = ask(RULE, machine(wiring=wiring))
    assert asked.unchecked["hotend.heater", "max_power"] == (
        "the wiring gives no rating of its switch"
    )


def test_a_fuse_that_is_too_small_blows(machine, ask):
    """24 V / 2.88 ohm = 8.3 A through a fuse of 5 A, which holds 5.5 A: nothing burns."""
    wiring = (("boards/heron-2.toml", "[nets.HEATB]", "[nets.HEATB]\nfuse_a = 5"),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert found.severity is Severity.FAULT
    assert found.message == ("The bed heater draws 8.3 A, but the fuse may carry 5.5 A: it blows.")


WEAK = ("boards/heron-2.toml", "max_a = 8.0, rds_on_mohm = 6.0", "max_a = 1.5")
NEAR = ("machine.h", "#define PID_MAX BANG_MAX", "#define PID_MAX 200")


def _over(result):
    return [found for found in result.findings if found.rule == RULE]


def test_a_cap_near_the_target_alone_is_none(demo):
    """Far from the target the heater runs at BANG_MAX."""
    (found,) = _over(demo("define", WEAK, NEAR))
    assert found.claims[0].setting.key == "BANG_MAX"


def test_near_miss_both_are_capped(demo):
    far = ("machine.h", "#define BANG_MAX 255", "#define BANG_MAX 200")
    assert not _over(demo("define", WEAK, far))
