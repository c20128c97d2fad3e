"""`output-on-input-pin`."""

import pytest

from pincheck.model.finding import Severity

RULE = "output-on-input-pin"
FAN = '[nets.FAN2]\nchip_pin = "PB8"'


@pytest.fixture
def fan_on(machine):
    """Return the machine with its part fans on a pin of another chip."""

    def make(chip: str, name: str, more: str = ""):
        heron = "boards/heron-2.toml"
        wiring = (
            (heron, 'chip = "stm32f401rct6"', f'chip = "{chip}"'),
            (heron, FAN, FAN.replace("PB8", name) + more),
        )
        return machine(wiring=wiring)

    return make


def test_a_fan_on_a_pin_without_an_output_stage(fan_on, ask):
    """Both part fans hang on the pin: one finding for the two."""
    found = ask(RULE, fan_on("esp32", "gpio34")).finding
    assert found.severity is Severity.FAULT
    assert found.spots == (("part.fan", "pin"), ("part1.fan", "pin"))
    assert found.message == (
        "gpio34 of esp32 can only be read, never driven: the part fan never turns (overhangs and "
        "bridges sag) and the second part fan never turns (overhangs and bridges sag)."
    )
    assert not found.claims, "the firmware names another pin, and pin-differs says so"


def test_the_claim_that_names_the_pin_is_shown(machine, ask, pin):
    heron = "boards/heron-2.toml"
    wiring = (
        (heron, 'chip = "stm32f401rct6"', 'chip = "esp32"'),
        (heron, FAN, FAN.replace("PB8", "gpio39")),
    )
    case = machine({("part.fan", "pin"): pin("gpio39")}, wiring=wiring)
    assert [claim.role for claim in ask(RULE, case).finding.claims] == ["part.fan"]


def test_a_pin_that_only_pulls_low_needs_a_resistor(fan_on, ask):
    asked = ask(RULE, fan_on("lpc1768", "P0.27"))
    assert not asked.findings
    assert asked.unchecked["part.fan", "pin"] == (
        "P0.27 of lpc1768 only pulls low, and the wiring shows no pull-up"
    )
    pulled = fan_on("lpc1768", "P0.27", "\npullup = { ohm = 10000, to_v = 3.3 }")
    assert not ask(RULE, pulled).outcomes


def test_near_miss_an_input_on_such_a_pin_and_any_other_pin(machine, fan_on, ask):
    heron = "boards/heron-2.toml"
    stop = '[nets.XSTOP]\nchip_pin = "PC0"'
    wiring = (
        (heron, 'chip = "stm32f401rct6"', 'chip = "esp32"'),
        (heron, stop, stop.replace("PC0", "gpio34")),
    )
    assert not ask(RULE, machine(wiring=wiring)).outcomes
    assert not ask(RULE, fan_on("esp32", "gpio33")).outcomes
    assert not ask(RULE, fan_on("stm32f401rct6", "PB8")).outcomes


def test_a_chip_that_nobody_knows_says_nothing_here(fan_on, ask):
    assert not ask(RULE, fan_on("nobody1234", "PB8")).outcomes
