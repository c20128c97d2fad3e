"""`heater-on-at-start`."""

import pytest

RULE = "heater-on-at-start"


@pytest.fixture
def heater_on(machine, pin):
    """Return the machine with its heater's switch on another pin, with a pull-down if any."""

    def make(name: str, pulldown_ohm: int = 0, inverting: bool = False):
        old = '[nets.HEAT0]\nchip_pin = "PC8"\nswitch = { side = "low", '
        new = old.replace("PC8", name)
        if pulldown_ohm:
            pull = f"pulldown = {{ ohm = {pulldown_ohm}, to_v = 0.0 }}\nswitch ="
            new = new.replace("switch =", pull)
        if inverting:
            new += "inverting = true, "
        wiring = (("boards/heron-2.toml", old, new),)
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
