"""`hotend-fan-missing`."""

from pincheck.model.claim import Doubt, PinValue

ABSENT = PinValue("-1", absent=True)


def test_a_hot_end_fan_that_nothing_starts(machine, ask):
    found = ask("hotend-fan-missing", machine({("hotend.fan", "pin"): ABSENT})).finding
    assert "uses PB6, where the hot-end fan is wired: it never turns" in found.message
    assert found.changes[0].value.place.pin == "PB6"
    assert found.changes[0].claim.value is ABSENT


def test_near_miss_a_part_fan_that_nothing_starts(machine, ask):
    assert not ask("hotend-fan-missing", machine({("part.fan", "pin"): None})).findings


def test_quiet_on_the_clean_machine_and_without_certainty(machine, ask):
    assert not ask("hotend-fan-missing", machine()).findings
    case = machine({("hotend.fan", "pin"): None}, doubts=(Doubt("fans.cfg was not sent"),))
    asked = ask("hotend-fan-missing", case)
    assert not asked.findings
    assert asked.unchecked["hotend.fan", "pin"] == "fans.cfg was not sent"
