"""`role-not-configured`."""

from attrs import evolve

from pincheck.model.claim import Claim, Doubt, PinValue


def test_a_fitted_part_without_a_pin(machine, ask):
    found = ask("role-not-configured", machine({("probe.servo", "pin"): None})).finding
    assert found.message == (
        "Nothing in the configuration uses PA1, where the probe servo is wired: it never moves "
        "(the probe stays up, homing drives the nozzle into the bed)."
    )
    assert found.changes[0].claim is None
    assert found.changes[0].value.place.pin == "PA1"


def test_a_pin_that_some_other_section_uses_is_not_called_unused(machine, ask, pin):
    case = machine({("probe.servo", "pin"): None})
    elsewhere = ((pin("PA1").place, "machine.cfg:9"),)
    asked = ask(
        "role-not-configured", evolve(case, claims=evolve(case.claims, elsewhere=elsewhere))
    )
    assert not asked.findings
    assert asked.unchecked["probe.servo", "pin"].startswith("machine.cfg:9 uses PA1")


def test_no_pin_at_all_counts_as_none(machine, ask):
    case = machine({("probe.servo", "pin"): PinValue("-1", absent=True)})
    assert ask("role-not-configured", case).finding.changes[0].claim.value.written == "-1"


def test_near_miss_the_second_fan_of_a_switch_and_a_fan_claimed_elsewhere(machine, ask, pin):
    assert not ask("role-not-configured", machine()).findings
    case = machine({("part.fan", "pin"): pin("PB7")})
    assert not ask("role-not-configured", case).findings


def test_absence_proves_nothing_when_a_file_is_missing(machine, ask):
    case = machine({("probe.servo", "pin"): None}, doubts=(Doubt("probe.cfg was not sent"),))
    asked = ask("role-not-configured", case)
    assert not asked.findings
    assert asked.unchecked["probe.servo", "pin"] == "probe.cfg was not sent"


def test_motors_that_the_style_gives_no_pins_are_not_checked(machine, ask):
    asked = ask("role-not-configured", machine({("x.motor", "pin"): None}))
    assert not asked.findings
    assert ("x.motor", "pin") in asked.unchecked


def test_a_second_fan_is_as_uncertain_as_the_first(machine, ask):
    unsure = Claim("part.fan", "pin", PinValue("tool:PB8"), unknown="no board is called tool")
    asked = ask("role-not-configured", machine({("part.fan", "pin"): unsure}))
    assert not asked.findings
    assert asked.unchecked["part1.fan", "pin"] == "no board is called tool"
