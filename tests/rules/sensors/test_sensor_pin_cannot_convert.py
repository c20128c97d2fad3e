"""`sensor-pin-cannot-convert`."""

from attrs import evolve

from pincheck.model.finding import Severity

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


def test_a_converter_that_the_radio_takes(machine, ask, pin):
    """Converter 2 of ESP32 (gpio4) is the radio's while that runs, converter 1 (gpio32) never."""
    chip = ("boards/heron-2.toml", 'chip = "stm32f401rct6"', 'chip = "esp32"')
    case = machine({("hotend.sensor", "pin"): pin("gpio4")}, wiring=(chip, *moved("gpio4")))
    found = ask(RULE, case).finding
    assert found.severity is Severity.ADVICE
    assert found.message == (
        "gpio4 of esp32 is read by a converter that its radio takes: while that runs the hot-end "
        "sensor cannot be measured."
    )
    case = machine({("hotend.sensor", "pin"): pin("gpio32")}, wiring=(chip, *moved("gpio32")))
    assert not ask(RULE, case).findings
