"""Chip names as board files and users write them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pincheck.chips import chip, known_chips, suggestions


@pytest.mark.parametrize(
    ("written", "family", "pin_count"),
    [
        ("stm32f401rct6", "stm32f4", 50),
        ("STM32F103RCT6", "stm32f1", 51),
        ("STM32F103C8T6TR", "stm32f1", 37),
        ("stm32f446zet7", "stm32f4", 114),
        ("stm32h723zgt6", "stm32h7", 114),
        ("stm32g0b1cbt6", "stm32g0", 44),
        ("STM32G0B1CBT6N", "stm32g0", 42),
        ("lpc1768", "lpc176x", 70),
        ("LPC1769FBD100", "lpc176x", 70),
        ("rp2040", "rp2040", 30),
        ("ATmega2560-16AU", "avr", 86),
        ("atmega1284p", "avr", 32),
        ("at90usb1286", "avr", 48),
        ("same70q20b", "same70", 114),
        ("ATSAMD21G18A-AU", "samd21", 38),
        ("samd51p20a", "samd51", 99),
        ("rp2350b", "rp2350", 48),
        ("stm32h743xih6", "stm32h7", 168),
    ],
)
def test_a_full_name_means_one_package(written: str, family: str, pin_count: int) -> None:
    found = chip(written)
    assert found is not None
    assert (found.family, found.exact, len(found.pins)) == (family, True, pin_count)


@pytest.mark.parametrize("written", ["stm32f103", "stm32f103xx", "STM32F103xE", "samd21g18"])
def test_a_name_that_leaves_the_package_open_is_not_exact(written: str) -> None:
    found = chip(written)
    assert found is not None
    assert not found.exact


def test_an_open_name_has_every_pin_of_every_package() -> None:
    every, small = chip("stm32f103"), chip("stm32f103c8t6")
    assert every is not None
    assert small is not None
    assert small.pins.keys() < every.pins.keys()
    assert "PG15" in every.pins
    assert every.pins["PA0"].timers[0] == small.pins["PA0"].timers[0]


@pytest.mark.parametrize(
    "written",
    [
        "",
        " ",
        "n32g452rct6",
        "hc32f460",
        "at32f403",
        "esp32-s3",
        "esp32c3",
        "stm32",
        "stm32f4",
        "samd2",
        "same5",
        "-",
    ],
)
def test_what_nobody_here_knows_is_none(written: str) -> None:
    assert chip(written) is None


def test_a_short_avr_name_is_another_chip_not_a_beginning() -> None:
    big, small = chip("atmega640"), chip("atmega644p")
    assert big is not None
    assert small is not None
    assert len(big.pins) != len(small.pins)
    assert "atmega6" not in known_chips()
    assert chip("atmega6") is None


def test_a_look_alike_says_so_and_promises_nothing_electrical() -> None:
    found, model = chip("gd32f303ret6"), chip("stm32f103ret6")
    assert found is not None
    assert model is not None
    assert found.stands_for == "stm32f103ret6"
    assert found.basis.confidence == "alias"
    assert found.pins.keys() == model.pins.keys()
    assert {pin.five_volt for pin in found.pins.values()} == {"unknown"}
    assert found.levels is None
    assert all(timer.clock_max_hz is None for timer in found.timers.values())


def test_a_near_miss_is_suggested() -> None:
    assert "atmega2560" in suggestions("atmega2506")
    assert "lpc1768" in suggestions("LPC1786")
    assert suggestions("heron") == ()


def test_at_least_sixty_chips_are_known_without_the_package() -> None:
    assert len(known_chips()) >= 60


def test_every_known_name_loads_exactly_and_names_its_source() -> None:
    loaded = [chip(name) for name in known_chips()]
    assert all(one and one.pins and one.basis.source for one in loaded)
    open_ones = {one.family for one in loaded if one and not one.exact}
    assert open_ones == {"sam3x"}


@settings(max_examples=30)
@given(st.text(max_size=60))
def test_no_text_breaks_the_search(text: str) -> None:
    found = chip(text)
    assert found is None or found.pins
    assert len(suggestions(text)) <= 3
