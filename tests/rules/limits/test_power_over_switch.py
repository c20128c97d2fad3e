"""`power-over-switch`."""

from pincheck.model.finding import Severity

RULE = "power-over-switch"


def heater(part):
    return (("marsh-230-c.toml", '"heater-24v-40w"', f'"{part}"'),)


def test_a_60_w_heater_on_two_thin_wires_of_the_ribbon(machine, ask):
    """Out over four wires and back over two, 0.6 m of 26 AWG with two contacts each: 0.1003 ohm x
    (1/4 + 1/2); 30 mohm at the plug, 35 of tracks, 9 of the switch: 0.149 ohm. The fans' 0.7 A
    take 25 mV of the same supply: 23.975 V / 9.749 ohm = 2.46 A. Eleven wires of the bundle warm
    it: 2 x 2.2 A x 0.5 = 2.20 A."""
    found = ask(RULE, machine(wiring=heater("heater-24v-60w"))).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "The hot-end heater draws 2.5 A, but 2 HEAT0 wires of 26 AWG may carry 2.2 A: it overheats "
        "and may melt, burn or stay on for good."
    )
    assert [round(number.value, 2) for number in found.numbers] == [2.46, 2.2]
    # the worse wire may get 1.29 times its half (below): (2.2 / (2.459 x 1.29))^2 = 0.48 is no cap
    assert not found.changes


def test_near_miss_the_same_heater_under_a_cap(machine, ask):
    """2.46 A x root(0.3) = 1.35 A. Of two wires the worse may get 1.15 times the other's share."""
    case = machine({("hotend.heater", "max_power"): 0.3}, wiring=heater("heater-24v-60w"))
    asked = ask(RULE, case)
    assert not asked.findings
    assert ("hotend.heater", "max_power") in asked.agreed


def test_how_contacts_share_may_decide(machine, ask):
    """2.46 A x root(0.75) = 2.13 A of 2.20 A, if both wires take half: one contact of each end may
    have 0 and the other 30 mohm, so that one takes up to (80 x 1.04 + 60) / (80 x 0.98 + 80 x 1.04
    + 60) = 64 %, 1.29 times its half, of 98 %: 126 %."""
    case = machine({("hotend.heater", "max_power"): 0.75}, wiring=heater("heater-24v-60w"))
    asked = ask(RULE, case)
    assert not asked.findings
    assert asked.unchecked["hotend.heater", "max_power"] == (
        "depends on how 2 HEAT0 wires of 26 AWG share: the worst may get 126% of its rating"
    )


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
    """24 V on 2.88 ohm and 86 mohm (1.2 m of 14 AWG 10, two contacts 20, tracks 20 and the switch
    4.5, the fuse 0.1 V / 5 A with its halves 30): 8.1 A, and it holds 5.5 A: nothing burns."""
    wiring = (("boards/heron-2.toml", "[nets.HEATB]", "[nets.HEATB]\nfuse_a = 5"),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert found.severity is Severity.FAULT
    assert found.message == ("The bed heater draws 8.1 A, but the fuse may carry 5.5 A: it blows.")


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
