"""The ATmega2560 against the pin tables of the Debian package of the AVR core, version 1.8.7.

The tables give port, bit and timer output of D0 to D69; A0 to A15 are D54 to D69 and converter
channels 0 to 15. On PB7 they name one of its two timer outputs.
"""

import pytest

from pincheck.chips import canonical_pin, chip

CORE_TABLES = """
PE0 PE1 PE4:3B PE5:3C PG5:0B PE3:3A PH3:4A PH4:4B PH5:4C PH6:2B PB4:2A PB5:1A PB6:1B PB7:0A
PJ1 PJ0 PH1 PH0 PD3 PD2 PD1 PD0 PA0 PA1 PA2 PA3 PA4 PA5 PA6 PA7
PC7 PC6 PC5 PC4 PC3 PC2 PC1 PC0 PD7 PG2 PG1 PG0 PL7 PL6 PL5:5C PL4:5B PL3:5A PL2 PL1 PL0
PB3 PB2 PB1 PB0 PF0 PF1 PF2 PF3 PF4 PF5 PF6 PF7 PK0 PK1 PK2 PK3 PK4 PK5 PK6 PK7
"""
ENTRIES = list(enumerate(CORE_TABLES.split()))
FIRST_ANALOG = 54

CHIP = chip("atmega2560")
assert CHIP is not None


@pytest.mark.parametrize(("number", "entry"), ENTRIES)
def test_numbering_timer_and_converter_agree_with_the_core(number: int, entry: str) -> None:
    name, _, output = entry.partition(":")
    assert canonical_pin(CHIP, str(number)) == name
    pin = CHIP.pins[name]
    outputs = {f"{t.timer.removeprefix('TC')}{t.channel}" for t in pin.timers}
    assert outputs == ({output} if output else set()) | ({"1C"} if name == "PB7" else set())
    channels = [c.channel for c in pin.converters]
    assert channels == ([number - FIRST_ANALOG] if number >= FIRST_ANALOG else [])


def test_analog_names_follow_the_core() -> None:
    names = [canonical_pin(CHIP, f"analog{number}") for number in range(16)]
    assert names == [entry for _, entry in ENTRIES[FIRST_ANALOG:]]


def test_the_32u4_table_of_the_core() -> None:
    """Same package, table of the 32u4: digital pins in order, and the pins of A0 to A11."""
    small = chip("atmega32u4")
    assert small is not None
    digital = """PD2 PD3 PD1 PD0 PD4 PC6 PD7 PE6 PB4 PB5 PB6 PB7 PD6 PC7 PB3 PB1 PB2 PB0
    PF7 PF6 PF5 PF4 PF1 PF0 PD4 PD7 PB4 PB5 PB6 PD6 PD5"""
    assert " ".join(small.digital_numbers) == " ".join(digital.split())
    assert [small.pins[pin].converters[0].channel for pin in small.analog_numbers] == [
        *(7, 6, 5, 4, 1, 0),
        *(8, 10, 11, 12, 13, 9),
    ]


def test_the_328_table_of_the_core() -> None:
    small = chip("atmega328p")
    assert small is not None
    assert list(small.digital_numbers) == [
        *(f"PD{bit}" for bit in range(8)),
        *(f"PB{bit}" for bit in range(6)),
        *(f"PC{bit}" for bit in range(6)),
    ]
    outputs = {name: str(pin.timers[0]) for name, pin in small.pins.items() if pin.timers}
    assert outputs == {
        "PD3": "TC2 channel B",
        "PD5": "TC0 channel B",
        "PD6": "TC0 channel A",
        "PB1": "TC1 channel A",
        "PB2": "TC1 channel B",
        "PB3": "TC2 channel A",
    }
