"""`protection-off`."""

from pincheck.model.finding import Severity


def test_a_heater_that_nothing_watches(machine, ask):
    found = ask("protection-off", machine({("hotend.heater", "protection"): False})).finding
    assert found.severity is Severity.DANGER
    assert found.message.startswith("Nothing watches the 40 W hot-end heater")
    assert [(c.attribute, c.value, c.weakens) for c in found.changes] == [("protection", True, "")]


def test_near_miss_saying_nothing_is_not_saying_off(machine, ask):
    asked = ask("protection-off", machine({("hotend.heater", "protection"): None}))
    assert not asked.findings
    assert ("hotend.heater", "protection") in asked.unchecked
    assert ("bed.heater", "protection") in asked.agreed
