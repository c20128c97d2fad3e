"""`sensor-pin-cannot-convert`."""

from attrs import evolve

RULE = "sensor-pin-cannot-convert"


def moved(name):
    old = '[nets.TH0]\nchip_pin = "PC5"'
    return (("boards/heron-2.toml", old, old.replace("PC5", name)),)


def test_a_sensor_on_a_plain_pin(machine, ask, pin):
    case = machine({("hotend.sensor", "pin"): pin("PB15")}, wiring=moved("PB15"))
    found = ask(RULE, case).finding
    assert found.message.startswith("PB15 of stm32f401rct6 has no converter input")


def test_near_miss_another_pin_with_a_converter(machine, ask, pin):
    case = machine({("hotend.sensor", "pin"): pin("PA0")}, wiring=moved("PA0"))
    assert not ask(RULE, case).findings


def test_a_pin_that_is_wrong_as_such_has_its_own_rule(machine, ask, pin):
    assert not ask(RULE, machine({("hotend.sensor", "pin"): pin("PB15")})).findings


def test_an_unknown_chip_is_not_checked(machine, ask):
    asked = ask(RULE, evolve(machine(), chip=lambda _: None))
    assert not asked.findings
    assert ("hotend.sensor", "pin") in asked.unchecked
