"""`hotend-fan-watches-wrong-heater`."""

RULE = "hotend-fan-watches-wrong-heater"


def test_a_fan_that_follows_the_bed(machine, ask):
    found = ask(RULE, machine({("hotend.fan", "watches"): "bed.heater"})).finding
    assert "starts with the bed heater, not with the hot-end heater" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("watches", "hotend.heater")]


def test_near_miss_watching_the_hot_ends_sensor_is_as_good(machine, ask):
    asked = ask(RULE, machine({("hotend.fan", "watches"): "hotend.sensor"}))
    assert not asked.findings
    assert ("hotend.fan", "watches") in asked.agreed


def test_quiet_on_the_clean_machine(machine, ask):
    assert ask(RULE, machine()).agreed == {("hotend.fan", "watches")}
