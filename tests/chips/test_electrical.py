"""What pins stand, what inputs take for high and low, how timers count.

Expected values are recalled from the data sheets that `data/electrical.toml` names.
"""

import tomllib
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path

import pytest

import pincheck.chips
from pincheck.chips import SPECIAL_WORDS, Chip, chip, known_chips
from pincheck.chips.names import matches
from pincheck.chips.notation import expand

DATA = Path(pincheck.chips.__file__).parent / "data"


@cache
def _chip(name: str) -> Chip:
    found = chip(name)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("name", "tolerance", "pins"),
    [
        ("stm32f103rct6", "yes", "PA8 PA13 PA15 PB2 PB3 PB4 PB6 PB10 PB15 PC6 PC12 PD2"),
        ("stm32f103rct6", "no", "PA0 PA7 PB0 PB1 PB5 PC0 PC5 PC13 PC15"),
        ("stm32f407vet6", "no", "PA4 PA5"),
        ("stm32f407vet6", "yes", "PB5 PC13 PE9"),
        ("stm32f446zet6", "unless-analog", "PA0 PC0 PF3"),
        ("stm32f072c8t6", "no", "PA0 PA7 PB0 PB1 PC13"),
        ("stm32f072c8t6", "yes", "PA8 PB3 PB15"),
        ("stm32g0b1cbt6", "no", "PA4 PA5"),
        ("stm32g0b1cbt6", "unless-analog", "PA0 PB10"),
        ("stm32h723zgt6", "no", "PA4 PA5"),
        ("rp2040", "no", "gpio0 gpio26"),
        ("samd51p20a", "no", "PA2 PB31"),
        ("same70q20b", "no", "PA0 PD31"),
        ("esp32", "no", "gpio4 gpio34"),
        ("atmega2560", "yes", "PA0 PF0"),
        ("lpc1768", "yes", "P0.27 P1.18 P2.0"),
        ("lpc1768", "unless-analog", "P0.2 P0.24 P0.26 P1.30"),
        ("lpc1768", "no", "P0.29 P0.30"),
    ],
)
def test_five_volt_tolerance(name: str, tolerance: str, pins: str) -> None:
    found = _chip(name)
    assert {found.pins[pin].five_volt for pin in pins.split()} == {tolerance}
    assert found.five_volt_basis.source


def test_what_is_not_known_of_tolerance_is_said_to_be_unknown() -> None:
    assert _chip("stm32f401rct6").pins["PB5"].five_volt == "unknown"
    assert {p.five_volt for p in _chip("stm32f412ret6").pins.values()} == {"unknown"}


@pytest.mark.parametrize(
    ("name", "low_v", "high_v"),
    [
        ("stm32f103rct6", 1.155, 2.145),
        ("stm32f446zet6", 0.99, 2.31),
        ("atmega2560", 1.5, 3.0),
        ("rp2040", 0.8, 2.0),
        ("lpc1768", 0.99, 2.31),
        ("esp32", 0.825, 2.475),
    ],
)
def test_input_levels_in_volts(name: str, low_v: float, high_v: float) -> None:
    found = _chip(name)
    assert found.levels is not None
    assert found.logic_v is not None
    assert found.levels.low * found.logic_v == pytest.approx(low_v, abs=0.005)
    assert found.levels.high * found.logic_v == pytest.approx(high_v, abs=0.005)


@pytest.mark.parametrize(
    ("name", "timer", "bits", "mhz"),
    [
        ("stm32f103rct6", "TIM3", 16, 72),
        ("stm32f407vet6", "TIM1", 16, 168),
        ("stm32f407vet6", "TIM3", 16, 84),
        ("stm32f407vet6", "TIM2", 32, 84),
        ("stm32f401rct6", "TIM5", 32, 84),
        ("stm32g0b1cbt6", "TIM1", 16, 128),
        ("stm32g0b1cbt6", "TIM3", 16, 64),
        ("stm32h723zgt6", "TIM24", 32, 275),
        ("atmega2560", "TC0", 8, 16),
        ("atmega2560", "TC4", 16, 16),
        ("atmega1284p", "TC2", 8, 20),
        ("lpc1769", "PWM1", 32, 120),
        ("rp2040", "PWM3", 16, 133),
        ("samd21g18a", "TCC0", 24, 48),
    ],
)
def test_timer_width_and_highest_clock(name: str, timer: str, bits: int, mhz: int) -> None:
    found = _chip(name).timers[timer]
    assert (found.bits, found.clock_max_hz) == (bits, mhz * 1e6)


def test_every_timer_of_a_pin_is_described() -> None:
    for name in ("stm32f446zet6", "same70q20b", "samd51p20a", "lpc1768", "sam3x8e"):
        found = _chip(name)
        named = {t.timer for pin in found.pins.values() for t in pin.timers}
        assert named == found.timers.keys()


def test_special_words_are_all_explained() -> None:
    used = {word for name in known_chips() for p in _chip(name).pins.values() for word in p.special}
    assert used == SPECIAL_WORDS.keys()


def test_every_entry_applies_to_a_chip_and_names_its_source() -> None:
    """An entry that matches nothing is a slip of the pen."""
    entries = tomllib.loads((DATA / "electrical.toml").read_text())["entry"]
    names = known_chips()
    for entry in entries:
        for pattern in entry["chips"]:
            assert any(fnmatchcase(name, pattern) for name in names), pattern
        for fact in (
            *map(entry.get, ("levels", "five_volt", "reset_pullup")),
            *entry.get("boot_levels", {}).values(),
        ):
            if fact and fact.get("default") != "unknown":
                assert fact["source"]
                assert fact["confidence"] in ("data sheet", "from memory")


def test_entries_name_only_pins_and_timers_that_exist() -> None:
    entries = tomllib.loads((DATA / "electrical.toml").read_text())["entry"]
    for entry in entries:
        chips = [_chip(n) for n in known_chips() if any(fnmatchcase(n, p) for p in entry["chips"])]
        pins = {pin for one in chips for pin in one.pins}
        timers = {timer for one in chips for timer in one.timers}
        named = [entry.get("five_volt", {}).get(state, "") for state in ("yes", "no", "unknown")]
        named += [entry.get("reset_pullup", {}).get("pins", ""), *entry.get("boot_levels", {})]
        named += entry.get("special", {}).values()
        assert {pin for text in named for pin in expand(text)} <= pins, entry["chips"]
        for key in ("timer_bits_of", "clock_max_mhz_of"):
            assert entry.get(key, {}).keys() <= timers, (entry["chips"], key)


def test_numbered_pins_exist() -> None:
    for name in ("atmega640", "atmega1280", "atmega168", "atmega328p", "atmega32u4", "atmega1284"):
        found = _chip(name)
        assert found.digital_numbers
        assert {*found.digital_numbers, *found.analog_numbers} <= found.pins.keys()
        assert all(found.pins[pin].adc for pin in found.analog_numbers)


def test_a_chip_with_part_of_the_facts_says_which() -> None:
    assert _chip("sam4e8e").knows == {"pins", "converters"}
    assert _chip("esp32").pwm_on_any_pin
    assert "timers" not in _chip("esp32").knows
    assert not _chip("sam3x8e").exact


def test_patterns_reach_the_names_under_which_chips_are_filed() -> None:
    assert matches("stm32f446zet6", known_chips()) == ["stm32f446zet"]
