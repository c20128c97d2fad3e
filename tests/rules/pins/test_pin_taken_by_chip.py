"""`pin-taken-by-chip`."""

import pytest

from pincheck.model.finding import Severity

RULE = "pin-taken-by-chip"
HERON = "boards/heron-2.toml"
STOP = '[nets.XSTOP]\nchip_pin = "PC0"'


@pytest.fixture
def stop_on(machine):
    """Return the machine with its X end stop on a pin of another chip."""

    def make(chip: str, name: str, more: str = ""):
        wiring = (
            (HERON, 'chip = "stm32f401rct6"', f'chip = "{chip}"{more}'),
            (HERON, STOP, STOP.replace("PC0", name)),
        )
        return machine(wiring=wiring)

    return make


def test_a_line_of_the_program_memory(stop_on, ask):
    found = ask(RULE, stop_on("esp32", "gpio9")).finding
    assert found.severity is Severity.FAULT
    assert found.message == (
        "gpio9 of esp32 carries the chip's own program memory: with the x endstop on it the "
        "firmware does not start."
    )


def test_the_reset_input_as_delivered(stop_on, ask):
    found = ask(RULE, stop_on("stm32g0b1cbt6", "PF2")).finding
    assert found.severity is Severity.ADVICE
    assert "PF2 of stm32g0b1cbt6 is the chip's reset input as delivered" in found.message


@pytest.mark.parametrize(
    ("chip", "name"),
    [
        ("stm32f401rct6", "PH0"),
        ("stm32f103rct6", "PD0"),
        ("stm32g0b1cbt6", "PF1"),
        ("atmega328p", "PB6"),
        ("same70q20b", "PB9"),
    ],
)
def test_whether_a_crystal_is_fitted_is_not_in_the_wiring(stop_on, ask, chip, name):
    asked = ask(RULE, stop_on(chip, name))
    assert not asked.findings
    assert asked.unchecked["x.endstop", "pin"] == (
        f"{name} of {chip} is free only where the chip runs without a crystal, and the wiring does "
        "not say which"
    )


@pytest.mark.parametrize(
    ("chip", "name", "key", "said"),
    [
        ("stm32f401rct6", "PH0", "crystal", "carries the chip's crystal: with the x endstop on it"),
        ("stm32f446zet6", "PA12", "usb", "carries the chip's USB: with the x endstop on it"),
    ],
)
def test_a_board_may_say_whether_the_pin_is_taken(stop_on, ask, chip, name, key, said):
    found = ask(RULE, stop_on(chip, name, f"\n{key} = true")).finding
    assert found.severity is Severity.FAULT
    assert said in found.message
    asked = ask(RULE, stop_on(chip, name, f"\n{key} = false"))
    assert not asked.findings
    assert not asked.unchecked


@pytest.mark.parametrize(
    ("chip", "name"), [("stm32f446zet6", "PA12"), ("lpc1769", "P0.29"), ("samd21g18a", "PA24")]
)
def test_whether_usb_is_used_is_not_in_the_wiring(stop_on, ask, chip, name):
    asked = ask(RULE, stop_on(chip, name))
    assert not asked.findings
    assert "USB is not used" in asked.unchecked["x.endstop", "pin"]


@pytest.mark.parametrize(
    ("chip", "name"),
    [
        ("stm32f401rct6", "PC14"),
        ("stm32f103rct6", "PC15"),
        ("stm32f103vet6", "PD0"),
        ("stm32g0b1cbt6", "PC14"),
        ("stm32f446zet6", "PA13"),
        ("stm32f407vet6", "PB2"),
        ("same70q20b", "PA7"),
        ("atmega2560", "PF4"),
        ("esp32", "gpio13"),
        ("rp2040", "gpio26"),
    ],
)
def test_near_miss_pins_that_printer_boards_use_every_day(stop_on, ask, chip, name):
    """32 kHz crystals, debug ports, the second boot pin, and PD0 of the larger packages."""
    asked = ask(RULE, stop_on(chip, name))
    assert not asked.findings
    assert ("x.endstop", "pin") not in asked.unchecked
