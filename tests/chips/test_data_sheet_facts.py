"""Timer and converter facts of chips against their data sheets, recalled from memory.

STM32F103xC/D/E: DS5792 table 5 and RM0008 remap tables. STM32F401xB/C: DS9716 table 9.
STM32F446: DS10693 table 11. STM32G0B1: DS13560 tables 13 to 18. LPC1768: LPC176x user manual
UM10360, pin function tables. SAM4E: 11157 table of AFEC inputs. SAM4S: 11100 table of ADC
inputs. SAM C21: DS60001479 table 6-1; its timers are in no data here.
"""

import pytest

from pincheck.chips import Chip, chip

FACTS = {
    "stm32f103rct6": """
        PA0 ADC1:0 ADC2:0 ADC3:0 TIM2:1 TIM5:1
        PA1 ADC1:1 ADC2:1 ADC3:1 TIM2:2 TIM5:2
        PA6 ADC1:6 ADC2:6 TIM3:1
        PA7 ADC1:7 ADC2:7 TIM1:1N TIM3:2 TIM8:1N
        PA8 TIM1:1
        PA15 TIM2:1
        PB0 ADC1:8 ADC2:8 TIM1:2N TIM3:3 TIM8:2N
        PB3 TIM2:2
        PB4 TIM3:1
        PB5 TIM3:2
        PB6 TIM4:1
        PB8 TIM4:3
        PB10 TIM2:3
        PB13 TIM1:1N
        PC0 ADC1:10 ADC2:10 ADC3:10
        PC4 ADC1:14 ADC2:14
        PC6 TIM3:1 TIM8:1
        PC8 TIM3:3 TIM8:3
        PC9 TIM3:4 TIM8:4
        PD2
    """,
    "stm32f401rct6": """
        PA0 ADC1:0 TIM2:1 TIM5:1
        PA2 ADC1:2 TIM2:3 TIM5:3 TIM9:1
        PA4 ADC1:4
        PA5 ADC1:5 TIM2:1
        PA7 ADC1:7 TIM1:1N TIM3:2
        PA8 TIM1:1
        PB0 ADC1:8 TIM1:2N TIM3:3
        PB1 ADC1:9 TIM1:3N TIM3:4
        PB6 TIM4:1
        PB8 TIM4:3 TIM10:1
        PB9 TIM4:4 TIM11:1
        PB10 TIM2:3
        PC0 ADC1:10
        PC5 ADC1:15
        PC6 TIM3:1
        PC8 TIM3:3
    """,
    "stm32f446zet6": """
        PA0 ADC1:0 ADC2:0 ADC3:0 TIM2:1 TIM5:1
        PA3 ADC1:3 ADC2:3 ADC3:3 TIM2:4 TIM5:4 TIM9:2
        PA5 ADC1:5 ADC2:5 TIM2:1 TIM8:1N
        PB0 ADC1:8 ADC2:8 TIM1:2N TIM3:3 TIM8:2N
        PB4 TIM3:1
        PB7 TIM4:2
        PB14 TIM1:2N TIM8:2N TIM12:1
        PC0 ADC1:10 ADC2:10 ADC3:10
        PC7 TIM3:2 TIM8:2
        PD12 TIM4:1
        PD15 TIM4:4
        PE5 TIM9:1
        PE9 TIM1:1
        PE14 TIM1:4
        PF3 ADC3:9
        PF6 ADC3:4 TIM10:1
    """,
    "stm32g0b1cbt6": """
        PA0 ADC1:0 TIM2:1
        PA1 ADC1:1 TIM2:2 TIM15:1N
        PA4 ADC1:4 TIM14:1
        PA6 ADC1:6 TIM3:1 TIM16:1
        PA7 ADC1:7 TIM1:1N TIM3:2 TIM14:1 TIM17:1
        PA8 TIM1:1
        PB0 ADC1:8 TIM1:2N TIM3:3
        PB1 ADC1:9 TIM1:3N TIM3:4 TIM14:1
        PB3 TIM1:2 TIM2:2
        PB6 TIM1:3 TIM4:1 TIM16:1N
        PB8 TIM4:3 TIM16:1
        PB9 TIM4:4 TIM17:1
        PB10 ADC1:11 TIM2:3
        PB14 TIM1:2N TIM15:1
        PC6 TIM2:3 TIM3:1
        PC13
    """,
    "lpc1768": """
        P0.2 ADC0:7
        P0.3 ADC0:6
        P0.23 ADC0:0
        P0.24 ADC0:1
        P0.25 ADC0:2
        P0.26 ADC0:3
        P1.30 ADC0:4
        P1.31 ADC0:5
        P1.18 PWM1:1
        P1.20 PWM1:2
        P1.23 PWM1:4
        P2.0 PWM1:1
        P2.3 PWM1:4
        P2.5 PWM1:6
        P3.25 PWM1:2
        P3.26 PWM1:3
        P2.7
        P0.10
    """,
    "sam4e8e": """
        PA17 AFEC0:0
        PB0 AFEC0:4
        PB2 AFEC1:0
        PC13 AFEC0:6
        PC4 AFEC1:7
        PC31 AFEC0:11
        PC5
        PA0
    """,
    "sam4s8c": """
        PA17 ADC:0
        PB3 ADC:7
        PA22 ADC:9
        PC30 ADC:14
        PC31
    """,
    "samc21g18a": """
        PA2 ADC0:0
        PA8 ADC0:8 ADC1:10
        PB2 ADC1:2
        PB8 ADC0:2 ADC1:4
        PA12
        PA27
    """,
}


def _functions(named: Chip, name: str) -> set[str]:
    pin = named.pins[name]
    timers = {f"{t.timer}:{t.channel}{'N' * t.complementary}" for t in pin.timers}
    return timers | {f"{c.converter}:{c.channel}" for c in pin.converters}


@pytest.mark.parametrize(
    ("name", "pin", "expected"),
    [
        (name, line.split()[0], set(line.split()[1:]))
        for name, text in FACTS.items()
        for line in text.strip().splitlines()
    ],
)
def test_a_pin_has_exactly_the_functions_of_its_data_sheet(
    name: str, pin: str, expected: set[str]
) -> None:
    found = chip(name)
    assert found is not None
    assert _functions(found, pin) == expected


@pytest.mark.parametrize(
    ("name", "missing"),
    [
        ("stm32f103c8t6", "PC0 PC6 PD2 PE0"),
        ("stm32f103rct6", "PD3 PE0 PF0"),
        ("stm32f401ccu6", "PB11 PC0 PC8 PD2"),
        ("stm32f446ret6", "PB11 PD0 PE9 PG0"),
        ("stm32g0b1cbt6", "PC0 PC8 PD4 PE0"),
        ("lpc1768", "P0.12 P0.31 P1.2 P3.0 P4.0"),
        ("rp2040", "gpio30"),
        ("atmega2560", "PI0 PG6"),
        ("samc21e18a", "PA12 PA20 PB2 PB8"),
        ("samc21g18a", "PA26 PA29 PB0 PB12"),
        ("sam4s8b", "PC0 PC12"),
        ("esp32", "gpio20 gpio24 gpio28 gpio40"),
    ],
)
def test_pins_that_the_package_lacks_are_not_there(name: str, missing: str) -> None:
    found = chip(name)
    assert found is not None
    assert not found.pins.keys() & set(missing.split())


def test_rp2040_slices_and_converter_pins() -> None:
    """RP2040 data sheet, section 4.5.2: slice is the pin number halved, modulo eight."""
    found = chip("rp2040")
    assert found is not None
    timers = {name: str(pin.timers[0]) for name, pin in found.pins.items()}
    assert timers["gpio0"] == timers["gpio16"] == "PWM0 channel A"
    assert timers["gpio15"] == "PWM7 channel B"
    assert timers["gpio29"] == "PWM6 channel B"
    channels = {name: pin.converters[0].channel for name, pin in found.pins.items() if pin.adc}
    assert channels == {"gpio26": 0, "gpio27": 1, "gpio28": 2, "gpio29": 3}


def test_sam_d_outputs_that_repeat_a_compare_channel_share_it() -> None:
    """SAM D21: TCC0 has four compare channels, so WO[4] on PB10 repeats WO[0] on PA4."""
    found = chip("samd21g18a")
    assert found is not None
    on = {name: found.pins[name].timers for name in ("PB10", "PA4")}
    assert set(on["PB10"]) & set(on["PA4"])


@pytest.mark.parametrize(
    ("name", "word", "pins"),
    [
        ("stm32f103rct6", "debug", "PA13 PA14 PA15 PB3 PB4"),
        ("stm32f103rct6", "boot", "PB2"),
        ("stm32f103rct6", "usb", "PA11 PA12"),
        ("stm32f407vet6", "oscillator", "PH0 PH1"),
        ("stm32f407vet6", "clock-crystal", "PC14 PC15"),
        ("stm32f103rct6", "oscillator", "PD0 PD1"),
        ("stm32f103vet6", "oscillator", ""),
        ("stm32g0b1cbt6", "oscillator", "PF0 PF1"),
        ("same70q20b", "oscillator", "PB8 PB9"),
        ("stm32h723zgt6", "usb", "PA11 PA12"),
        ("stm32g0b1cbt6", "debug", "PA13 PA14"),
        ("stm32g0b1cbt6", "boot", "PA14"),
        ("stm32g0b1cbt6", "reset", "PF2"),
        ("atmega2560", "debug", "PF4 PF5 PF6 PF7"),
        ("samd21g18a", "debug", "PA30 PA31"),
        ("same70q20b", "erase", "PB12"),
        ("lpc1769", "boot", "P2.10"),
        ("lpc1769", "open-drain", "P0.27 P0.28"),
        ("rp2040", "debug", ""),
        ("esp32", "input-only", "gpio34 gpio35 gpio36 gpio37 gpio38 gpio39"),
        ("esp32", "boot", "gpio0 gpio2 gpio5 gpio12 gpio15"),
    ],
)
def test_pins_with_a_second_duty_are_marked(name: str, word: str, pins: str) -> None:
    found = chip(name)
    assert found is not None
    assert {p.name for p in found.pins.values() if word in p.special} == set(pins.split())
