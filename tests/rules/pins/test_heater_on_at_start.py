"""`heater-on-at-start`."""

import pytest

RULE = "heater-on-at-start"


@pytest.fixture
def heater_on(machine, pin):
    """Return the machine with its heater's switch on another pin, with a pull-down if any."""

    def make(name: str, pulldown_ohm: int = 0, inverting: bool = False, chip: str = ""):
        old = '[nets.HEAT0]\nchip_pin = "PC8"\nswitch = { side = "low", '
        new = old.replace("PC8", name)
        if pulldown_ohm:
            pull = f"pulldown = {{ ohm = {pulldown_ohm}, to_v = 0.0 }}\nswitch ="
            new = new.replace("switch =", pull)
        if inverting:
            new += "inverting = true, "
        heron, fitted = "boards/heron-2.toml", 'chip = "stm32f401rct6"'
        wiring = ((heron, old, new), (heron, fitted, fitted.replace("stm32f401rct6", chip)))
        wiring = wiring if chip else wiring[:1]
        return machine({("hotend.heater", "pin"): pin(name)}, wiring=wiring)

    return make


def test_a_pull_down_that_is_too_weak(heater_on, ask):
    """3.3 x 100 / (100 + 30) = 2.54 V."""
    found = ask(RULE, heater_on("PA15", 100_000)).finding
    assert found.numbers[0].value == pytest.approx(2.538, abs=0.001)
    assert found.message == (
        "The chip pulls PA15 up to 2.5 V until the firmware runs: the hot-end heater may be on "
        "while the chip starts or is flashed, and nothing watches it."
    )


def test_near_miss_a_pull_down_that_holds(heater_on, ask):
    """3.3 x 4.7 / (4.7 + 30) = 0.45 V."""
    asked = ask(RULE, heater_on("PA15", 4_700))
    assert not asked.findings
    assert ("hotend.heater", "pin") in asked.agreed


def test_a_switch_that_is_off_while_its_pin_is_high(heater_on, ask):
    assert not ask(RULE, heater_on("PA15", inverting=True)).findings


def test_a_debug_pin_that_is_pulled_down_and_any_other_pin(heater_on, ask):
    assert not ask(RULE, heater_on("PA14", 100_000)).outcomes
    assert not ask(RULE, heater_on("PA15")).outcomes
    assert not ask(RULE, heater_on("PC8")).outcomes


@pytest.mark.parametrize(
    ("chip", "name", "volt"),
    [
        ("lpc1768", "P2.7", 2.374),
        ("sam3x8e", "PC25", 2.2),
        ("sam4e8e", "PA16", 1.941),
        ("same70q20b", "PA7", 1.941),
        ("esp32", "gpio15", 2.276),
        ("stm32g0b1cbt6", "PA13", 2.538),
    ],
)
def test_chips_that_pull_up_more_than_their_debug_port(heater_on, ask, chip, name, volt):
    """3.3 x 100 / (100 + 39, 50, 70, 70, 45 or 30) V with a pull-down of 100 k."""
    found = ask(RULE, heater_on(name, 100_000, chip=chip)).finding
    assert found.numbers[0].value == pytest.approx(volt, abs=0.001)


@pytest.mark.parametrize(
    ("chip", "name"),
    [
        ("lpc1768", "P2.7"),
        ("sam3x8e", "PC25"),
        ("same70q20b", "PA7"),
        ("esp32", "gpio15"),
    ],
)
def test_near_miss_the_pull_down_of_most_boards_holds(heater_on, ask, chip, name):
    """3.3 x 10 / (10 + 39) = 0.67 V at the worst of them, below 0.8 V."""
    asked = ask(RULE, heater_on(name, 10_000, chip=chip))
    assert not asked.findings
    assert ("hotend.heater", "pin") in asked.agreed


@pytest.mark.parametrize(
    ("chip", "name"),
    [
        ("stm32g0b1cbt6", "PA15"),
        ("stm32f072c8t6", "PB4"),
        ("rp2040", "gpio2"),
        ("atmega2560", "PB4"),
        ("samd51p20a", "PA20"),
        ("lpc1768", "P0.27"),
        ("esp32", "gpio13"),
    ],
)
def test_near_miss_pins_that_are_left_alone_at_reset(heater_on, ask, chip, name):
    assert not ask(RULE, heater_on(name, 100_000, chip=chip)).outcomes
