"""`part-reversed`."""

from pincheck.model.finding import Severity

RULE = "part-reversed"
WRONG = (("boards/lapwing-c.toml", 'pins = ["24V", "FAN_HOTEND"]', 'pins = ["FAN_HOTEND", "24V"]'),)
NEAR = (("boards/lapwing-c.toml", 'pins = ["24V", "HEAT"]', 'pins = ["HEAT", "24V"]'),)


def test_a_fan_with_its_wires_exchanged(machine, ask):
    found = ask(RULE, machine(wiring=WRONG)).finding
    assert found.severity is Severity.DANGER
    assert "wrong way round" in found.message
    assert "the hot-end fan" in found.message
    assert found.advice


def test_near_miss_a_heater_has_no_polarity(machine, ask):
    assert not ask(RULE, machine(wiring=NEAR)).findings


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask(RULE, machine()).outcomes
