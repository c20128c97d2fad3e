"""`flyback-missing`."""

from pincheck.model.finding import Severity

FAN2 = "max_a = 1.0, rds_on_mohm = 50.0, flyback = true }\n\n# Sensors"


def said(word):
    return (("boards/heron-2.toml", FAN2, FAN2.replace(", flyback = true", word)),)


def test_two_fans_on_one_switch_are_named_once(machine, ask):
    found = ask("flyback-missing", machine(wiring=said(", flyback = false"))).finding
    assert found.severity is Severity.ADVICE
    assert found.roles == ("part.fan", "part1.fan")
    assert "The switch of the part fan and the second part fan has no flyback" in found.message


def test_near_miss_a_board_that_does_not_say(machine, ask):
    assert not ask("flyback-missing", machine(wiring=said(""))).outcomes


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask("flyback-missing", machine()).outcomes
