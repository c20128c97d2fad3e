"""`role-not-fitted`."""

import pytest

from pincheck.model.finding import Severity


def test_a_second_hot_end_that_is_not_there(machine, ask, pin):
    found = ask("role-not-fitted", machine({("hotend1.sensor", "pin"): pin("PC13")})).finding
    assert found.severity is Severity.FAULT
    assert found.message.startswith(
        "Firmware reads a second hot-end sensor on PC13, but none is fitted: an open input"
    )


def test_a_fan_too_many_is_only_advice(machine, ask, pin):
    found = ask("role-not-fitted", machine({("part2.fan", "pin"): pin("PB7")})).finding
    assert found.severity is Severity.ADVICE


def test_near_miss_parts_that_the_wiring_may_just_not_describe(machine, ask, pin):
    asked = ask("role-not-fitted", machine({("z.endstop", "pin"): pin("PC2")}))
    assert not asked.findings
    assert asked.unchecked["z.endstop", "pin"] == "the wiring describes no such part"


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask("role-not-fitted", machine()).findings


@pytest.mark.parametrize("key", ["TEMP_SENSOR_PROBE", "TEMP_SENSOR_REDUNDANT"])
def test_a_sensor_that_is_switched_on_and_nowhere_at_all(demo, key):
    (found,) = demo("define", ("machine.h", f"{key} 0", f"{key} 5")).findings
    assert (found.rule, found.claims[0].setting.key) == ("role-not-fitted", key)
    assert "neither a pin nor a part is there" in found.message
