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
        "n32l403rct6",
        "hc32f4a0",
        "at32f437vgt7",
        "esp32-h2",
        "lpc4078fbd208",
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


@pytest.mark.parametrize(
    ("name", "model", "knows"),
    [
        ("GD32E503RET6", "stm32f103ret6", {"pins", "converters", "timers"}),
        ("apm32f103vct6", "stm32f103vct6", {"pins", "converters", "timers"}),
        ("gd32f407vet6", "stm32f407vet6", {"pins", "converters", "timers"}),
        ("n32g455ret7", "stm32f103ret7", {"pins"}),
        ("at32f403avgt7", "stm32f103vgt7", {"pins"}),
        ("ch32v307vct6", "stm32f103vct6", {"pins"}),
        ("lpc4078fbd100", "lpc1768fbd100", {"pins", "converters"}),
    ],
)
def test_look_alikes_of_printer_boards_by_name(name: str, model: str, knows: set[str]) -> None:
    """Their pins are those of the known chip; what nobody compared stays unknown."""
    found, like = chip(name), chip(model)
    assert found is not None
    assert like is not None
    assert (found.stands_for, found.knows) == (model, knows)
    assert found.basis.source.startswith(f"pinout as {model}")
    assert found.pins.keys() == like.pins.keys()
    assert any(pin.adc for pin in found.pins.values()) == ("converters" in knows)
    assert bool(found.timers) == ("timers" in knows)


@pytest.mark.parametrize(
    ("name", "by_radio", "free"),
    [
        ("esp32", "gpio4 gpio25", "gpio32 gpio39"),
        ("esp32-s2", "gpio11 gpio20", "gpio1 gpio10"),
        ("ESP32-S3-WROOM-1", "gpio11 gpio20", "gpio1 gpio10"),
        ("esp32c3", "gpio5", "gpio0 gpio4"),
    ],
)
def test_the_converter_that_a_radio_takes(name: str, by_radio: str, free: str) -> None:
    """Converter 2 of the series (data sheets, ADC)."""
    found = chip(name)
    assert found is not None
    assert all("radio" in found.pins[pin].special for pin in by_radio.split())
    assert all(found.pins[pin].adc for pin in (by_radio + " " + free).split())
    assert not any("radio" in found.pins[pin].special for pin in free.split())


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
    assert open_ones == {"sam3x", "hc32f4"}


@settings(max_examples=30)
@given(st.text(max_size=60))
def test_no_text_breaks_the_search(text: str) -> None:
    found = chip(text)
    assert found is None or found.pins
    assert len(suggestions(text)) <= 3
