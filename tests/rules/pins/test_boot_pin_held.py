"""`boot-pin-held`."""

import pytest

from pincheck.model.finding import Severity

RULE = "boot-pin-held"
HERON = "boards/heron-2.toml"
FAN = '[nets.FAN2]\nchip_pin = "PB8"'
STOP = '[nets.XSTOP]\nchip_pin = "PC0"'


@pytest.fixture
def wired(machine):
    """Return the machine with a net on a pin of another chip, and more of the wiring changed."""

    def make(chip: str, net: str, name: str, more: str = "", part: str = ""):
        old = net.split('"')[1]
        wiring = [
            (HERON, 'chip = "stm32f401rct6"', f'chip = "{chip}"'),
            (HERON, net, net.replace(old, name) + more),
        ]
        if part:
            stop = 'at = "main.stop_x"\npart = "endstop-switch-nc"'
            wiring.append(("marsh-230-c.toml", stop, f'at = "main.stop_x"\n{part}'))
        return machine(wiring=wiring)

    return make


def down(ohm):
    return f"\npulldown = {{ ohm = {ohm}, to_v = 0.0 }}"


def up(ohm):
    return f"\npullup = {{ ohm = {ohm}, to_v = 3.3 }}"


def test_a_gate_resistor_pulls_a_pin_low_that_has_to_be_high(wired, ask):
    """3.3 x 10 / (10 + 45) = 0.60 V, and 25 % of 3.3 V, 0.825 V, is surely low."""
    found = ask(RULE, wired("esp32", FAN, "gpio0", down(10_000))).finding
    assert found.severity is Severity.FAULT
    assert found.numbers[0].value == pytest.approx(0.600, abs=0.0005)
    assert found.message == (
        "gpio0 of esp32 has to be high when the chip starts, and the line of the part fan and "
        "second part fan is at 0.6 V: the chip starts its boot loader instead of the firmware."
    )


def test_between_the_levels_it_is_possible(wired, ask):
    """3.3 x 47 / (47 + 45) = 1.69 V: not low (0.825 V), not high (2.475 V)."""
    found = ask(RULE, wired("esp32", FAN, "gpio0", down(47_000))).finding
    assert found.severity is Severity.ADVICE
    assert "is at 1.7 V: possibly the chip starts its boot loader" in found.message


def test_near_miss_a_gate_resistor_that_the_chip_out_pulls(wired, ask):
    """3.3 x 220 / (220 + 45) = 2.74 V, above 2.475 V; 66 k of another chip: 2.85 V of 2.31 V."""
    assert not ask(RULE, wired("esp32", FAN, "gpio0", down(220_000))).outcomes
    assert not ask(RULE, wired("lpc1769", FAN, "P2.10", down(420_000))).outcomes


def test_a_pull_up_on_a_pin_that_has_to_be_low(wired, ask):
    """3.3 x 45 / (45 + 4.7) = 2.99 V, above 2.475 V."""
    found = ask(RULE, wired("esp32", STOP, "gpio12", up(4_700), 'part = "endstop-switch-no"'))
    assert found.finding.numbers[0].value == pytest.approx(2.988, abs=0.0005)
    assert found.finding.severity is Severity.FAULT
    assert "has to be low" in found.finding.message


def test_a_closed_contact_holds_it_low_until_it_opens(wired, ask):
    """The same 2.99 V, but only with the axis at its end stop when the power comes on."""
    found = ask(RULE, wired("esp32", STOP, "gpio12", up(4_700))).finding
    assert found.severity is Severity.ADVICE
    assert "is at 3.0 V while it is triggered: possibly the chip feeds" in found.message


def test_a_contact_that_is_closed_at_rest(wired, ask):
    """A normally closed switch ties the line to ground until the axis is there."""
    found = ask(RULE, wired("lpc1768", STOP, "P2.10")).finding
    assert found.severity is Severity.FAULT
    assert "is at 0.0 V: the chip starts its boot loader instead of the firmware." in found.message


def test_a_contact_that_closes_when_the_axis_is_there(wired, ask):
    found = ask(RULE, wired("lpc1768", STOP, "P2.10", part='part = "endstop-switch-no"')).finding
    assert found.severity is Severity.ADVICE
    assert "is at 0.0 V while it is triggered: possibly the chip starts" in found.message


def test_an_output_that_drives_the_line(wired, ask):
    """An optical stop is low at rest, wrong for a high pin; 5 V while the axis is there."""
    optical = 'part = "endstop-optical-5v"'
    found = ask(RULE, wired("esp32", STOP, "gpio0", part=optical)).finding
    assert found.severity is Severity.FAULT
    found = ask(RULE, wired("esp32", STOP, "gpio12", part=optical)).finding
    assert found.severity is Severity.ADVICE
    assert "is at 5.0 V while it is triggered: possibly" in found.message


@pytest.mark.parametrize(
    ("chip", "name", "says"),
    [
        ("stm32g474ret6", "PB8", "possibly the chip starts its boot loader"),
        ("same70q20b", "PB12", "possibly the chip erases its program"),
        ("sam3x8e", "PC0", "possibly the chip erases its program"),
    ],
)
def test_where_an_option_decides_it_is_only_possible(wired, ask, chip, name, says):
    """10 k to 3.3 V: 3.3 V without a resistor in the chip, 3.3 x 100 / 110 = 3.0 V with 100 k."""
    found = ask(RULE, wired(chip, FAN, name, up(10_000))).finding
    assert found.severity is Severity.ADVICE
    assert says in found.message


@pytest.mark.parametrize(
    ("chip", "name", "more"),
    [
        ("esp32", "gpio0", ""),
        ("esp32", "gpio12", down(10_000)),
        ("esp32", "gpio2", up(10_000)),
        ("stm32f401rct6", "PB2", up(10_000)),
        ("stm32g0b1ret6", "PA14", up(10_000)),
        ("stm32g474ret6", "PB8", down(10_000)),
        ("sam3x8e", "PB12", up(10_000)),
    ],
)
def test_near_miss_the_right_level_or_a_pin_that_decides_nothing(wired, ask, chip, name, more):
    assert not ask(RULE, wired(chip, FAN, name, more)).outcomes


def test_behind_a_divider_nobody_can_say(wired, ask):
    more = up(4_700) + "\ndivider = { top_ohm = 10000, bottom_ohm = 20000 }"
    assert not ask(RULE, wired("esp32", STOP, "gpio12", more)).findings
