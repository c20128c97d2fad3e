"""Every way of writing a pin comes to one spelling."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.chips import Chip, canonical_by_syntax, canonical_pin, chip


def _chip(name: str) -> Chip:
    found = chip(name)
    assert found is not None
    return found


STM32, LPC, RP2040, MEGA = map(_chip, ("stm32f446zet6", "lpc1768", "rp2040", "atmega2560"))


@pytest.mark.parametrize(
    ("on", "written", "canonical"),
    [
        (STM32, "PA1", "PA1"),
        (STM32, "PA_1", "PA1"),
        (STM32, "PA.1", "PA1"),
        (STM32, " pa1 ", "PA1"),
        (STM32, "PA01", "PA1"),
        (_chip("stm32h743vit6"), "PC2_C", "PC2"),
        (_chip("samd21g18a"), "PA02", "PA2"),
        (LPC, "P1_23", "P1.23"),
        (LPC, "p1.23", "P1.23"),
        (LPC, "P1_04", "P1.4"),
        (LPC, "P0_24_A1", "P0.24"),
        (RP2040, "gpio12", "gpio12"),
        (RP2040, "GPIO12", "gpio12"),
        (RP2040, "gpio04", "gpio4"),
        (MEGA, "ar12", "PB6"),
        (MEGA, "D12", "PB6"),
        (MEGA, "12", "PB6"),
        (MEGA, "analog1", "PF1"),
        (MEGA, "A1", "PF1"),
        (MEGA, "PB6", "PB6"),
        (_chip("atmega1284p"), "D31", "PA0"),
    ],
)
def test_a_pin_is_spelt_as_its_chip_spells_it(on: Chip, written: str, canonical: str) -> None:
    assert canonical_pin(on, written) == canonical
    assert canonical in on.pins


@pytest.mark.parametrize(
    ("on", "written"),
    [
        (STM32, "12"),
        (STM32, "D12"),
        (STM32, "gpio12"),
        (STM32, "P1.23"),
        (LPC, "PA1"),
        (LPC, "12"),
        (RP2040, "12"),
        (RP2040, "PA1"),
        (MEGA, "70"),
        (MEGA, "A16"),
        (_chip("at90usb1286"), "12"),
        (STM32, "-1"),
        (STM32, ""),
        (STM32, "PA"),
        (STM32, "!PA1"),
        (STM32, "PA1 PA2"),
        (STM32, "PA\u0661"),
        (STM32, "nil"),
    ],
)
def test_what_the_chip_would_not_say_is_none(on: Chip, written: str) -> None:
    assert canonical_pin(on, written) is None


def test_a_pin_that_does_not_exist_keeps_its_spelling() -> None:
    assert canonical_pin(STM32, "pz_9") == "PZ9"
    assert "PZ9" not in STM32.pins


def test_a_bare_number_of_a_sensor_key_is_an_analog_input() -> None:
    assert canonical_pin(MEGA, "13") == "PB7"
    assert canonical_pin(MEGA, "13", analog=True) == "PK5"
    assert canonical_pin(MEGA, "D13", analog=True) == "PB7"
    # Channel 67 is none, though D67 is the pin of channel 13: the firmware selects by channel.
    assert canonical_pin(MEGA, "67", analog=True) == "A67"
    assert "A67" not in MEGA.pins


@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        ("PA_1", "PA1"),
        ("P1_23", "P1.23"),
        ("GPIO04", "gpio4"),
        ("ar12", "D12"),
        ("12", "D12"),
        ("analog1", "A1"),
        ("out1", None),
        ("x:virtual_endstop", None),
        ("tool:PA1", None),
    ],
)
def test_without_a_chip_only_the_syntax_speaks(written: str, canonical: str | None) -> None:
    assert canonical_by_syntax(written) == canonical


_PORT = st.tuples(st.sampled_from("ABCDEFGHJK"), st.integers(0, 31))


@given(_PORT, st.sampled_from(["", "_", "."]), st.booleans(), st.booleans())
def test_all_spellings_of_a_lettered_port_agree(
    pin: tuple[str, int], joint: str, lower: bool, padded: bool
) -> None:
    text = f"P{pin[0]}{joint}{pin[1]:0{2 if padded else 1}}"
    spelt = canonical_pin(STM32, text.lower() if lower else text)
    assert spelt == f"P{pin[0]}{pin[1]}"
    assert canonical_by_syntax(text) == spelt


@given(st.integers(0, 9), st.integers(0, 31), st.sampled_from("_."), st.sampled_from(["", "_A3"]))
def test_all_spellings_of_a_numbered_port_agree(port: int, bit: int, joint: str, tail: str) -> None:
    assert canonical_pin(LPC, f"P{port}{joint}{bit:02}{tail}") == f"P{port}.{bit}"


@given(st.integers(0, 69))
def test_all_spellings_of_a_plain_number_agree(number: int) -> None:
    texts = (str(number), f"{number:02}", f"D{number}", f"ar{number}", f"AR{number}")
    assert len({canonical_pin(MEGA, text) for text in texts} - {None}) == 1


@given(st.text(max_size=12) | st.from_regex(r"[PpGgAaDd][A-Za-z0-9._]{0,8}", fullmatch=True))
def test_canonical_spelling_is_idempotent(text: str) -> None:
    spelt = canonical_by_syntax(text)
    assert spelt is None or canonical_by_syntax(spelt) == spelt
    for on in (STM32, LPC, RP2040, MEGA):
        pin = canonical_pin(on, text)
        assert pin is None or canonical_pin(on, pin) == pin


@pytest.mark.parametrize("on", [STM32, LPC, RP2040, MEGA], ids=lambda on: on.name)
def test_every_pin_of_a_chip_is_its_own_canonical_spelling(on: Chip) -> None:
    assert [canonical_pin(on, name) for name in on.pins] == list(on.pins)
