"""`fan-min-duty-too-low`."""

from pincheck.model.finding import Severity

RULE = "fan-min-duty-too-low"


def test_a_lowest_duty_below_what_the_fan_needs(machine, ask):
    """The fitted fans need 0.2; 0.2 - 0.05 = 15 % is missing."""
    found = ask(RULE, machine({("part.fan", "min_duty"): 0.05})).finding
    assert found.message == (
        "The part fan needs 20% to turn and the firmware lets it go down to 5%: it stands still "
        "while it is shown as running."
    )
    assert round(found.numbers[0].value, 1) == 15
    assert found.changes[0].value == 0.2


def test_no_kick_keeps_it_turning(machine, ask):
    case = machine({("part.fan", "min_duty"): 0.05, ("part.fan", "kick_start_s"): 0.5})
    assert ask(RULE, case).finding.severity is Severity.ADVICE


def test_near_miss_just_what_it_runs_at(machine, ask):
    asked = ask(RULE, machine({("part.fan", "min_duty"): 0.2}))
    assert not asked.findings
    assert ("part.fan", "min_duty") in asked.agreed


def test_quiet_without_a_claim_or_with_none_at_all(machine, ask):
    assert not ask(RULE, machine()).outcomes
    assert not ask(RULE, machine({("part.fan", "min_duty"): 0.0})).outcomes


def test_a_hot_end_fan_that_is_too_weak_when_it_is_on(machine, ask):
    """EXTRUDER_AUTO_FAN_SPEED 20 is 20 / 255 = 0.078; the fan needs 0.2, 12.2 % is missing."""
    found = ask(RULE, machine({("hotend.fan", "on_power"): 20 / 255})).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "The hot-end fan needs 20% to turn and the firmware gives it 8% when it is on: it never "
        "turns (heat creeps up, filament softens in the cold end and jams)."
    )
    assert round(found.numbers[0].value, 1) == 12.2
    assert [(c.attribute, c.value) for c in found.changes] == [("on_power", 1.0)]


def test_a_hot_end_fan_whose_speed_when_on_is_nothing(machine, ask):
    assert ask(RULE, machine({("hotend.fan", "on_power"): 0.0})).finding.severity is Severity.DANGER


def test_a_fan_on_command_may_start_at_rest(machine, ask):
    spots = {("part.fan", "on_power"): 0.0}
    assert not ask(RULE, machine(spots)).findings


def test_near_miss_enough_when_on(machine, ask):
    asked = ask(RULE, machine({("hotend.fan", "on_power"): 0.5}))
    assert asked.agreed == {("hotend.fan", "on_power")}


def test_a_cap_below_what_the_fan_needs_holds_for_the_kick_too(machine, ask):
    spots = {("part.fan", "max_power"): 0.1, ("part.fan", "kick_start_s"): 1.0}
    found = ask(RULE, machine(spots)).finding
    assert found.severity is Severity.FAULT
    assert found.spots == (("part.fan", "max_power"),)
    assert "caps it at 10%, a kick too" in found.message


def test_a_hot_end_fan_that_stops_after_its_kick(machine, ask):
    spots = {("hotend.fan", "on_power"): 0.1, ("hotend.fan", "kick_start_s"): 1.0}
    assert ask(RULE, machine(spots)).finding.severity is Severity.DANGER


def test_near_miss_a_cap_that_the_fan_starts_at(machine, ask):
    assert not ask(RULE, machine({("part.fan", "max_power"): 0.2})).findings


def test_a_speed_of_a_fan_that_may_obey_commands_is_not_judged(scripts):
    """Where the file with the heaters is missing, nobody knows whether S0 is a speed for long."""
    result = scripts(('M98 P"toolhead.g"', 'M98 P"heads.g"\nM950 F0 C"fan2"\nM106 P0 S0 H-1'))
    assert RULE not in {finding.rule for finding in result.findings}
    (verdict,) = [v for v in result.verdicts if (v.role, v.attribute) == ("part.fan", "on_power")]
    assert verdict.state == "not checked"
