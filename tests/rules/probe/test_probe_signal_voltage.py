"""`probe-signal-voltage`."""

import pytest

from pincheck.model.finding import Severity

RULE = "probe-signal-voltage"
NET = '[nets.PROBE]\nchip_pin = "PB1"'


def pulled(more):
    return (("boards/heron-2.toml", NET, f"{NET}\n{more}"),)


def test_a_pull_up_to_24_v_destroys_the_pin(machine, ask):
    """24 V on a pin that stands 5.5 V."""
    case = machine(wiring=pulled("pullup = { ohm = 4700, to_v = 24.0 }"))
    found = ask(RULE, case).finding
    assert found.severity is Severity.DANGER
    assert "puts 24.0 V on PB1 of stm32f401rct6, which stands 5.5 V" in found.message
    assert [n.value for n in found.numbers] == [24.0]


def test_near_miss_5_v_on_a_tolerant_pin(machine, ask):
    case = machine(wiring=pulled("pullup = { ohm = 4700, to_v = 5.0 }"))
    asked = ask(RULE, case)
    assert not asked.findings
    assert ("probe.signal", "supply_v") in asked.agreed


def test_an_output_gives_no_more_than_its_supply(machine, ask):
    """A 5 V sensor on 3.3 V puts 3.3 V on its line."""
    stop = 'at = "main.stop_x"\npart = "endstop-switch-nc"'
    case = machine(
        wiring=(
            ("marsh-230-c.toml", stop, 'at = "main.stop_x"\npart = "endstop-optical-5v"'),
            ("boards/heron-2.toml", '["XSTOP", "GND", "5V"]', '["XSTOP", "GND", "3V3"]'),
            (
                "boards/heron-2.toml",
                '[nets.XSTOP]\nchip_pin = "PC0"',
                '[nets.XSTOP]\nchip_pin = "PA4"',
            ),
            ("boards/heron-2.toml", 'step_pin = "PA4"', 'step_pin = "PC0"'),
        )
    )
    asked = ask(RULE, case)
    assert not asked.findings
    assert ("x.endstop", "supply_v") in asked.agreed


def test_a_divider_counts(machine, ask):
    """On the tool-head board 5 V x 20 / (4.7 + 10 + 20) = 2.88 V reach a chip that stands 3.6 V."""
    asked = ask(RULE, machine(assembly="marsh-230-curlew.toml"))
    assert not asked.findings
    assert ("probe.signal", "supply_v") in asked.agreed


def test_without_the_divider_the_pull_up_limits_the_current(machine, ask):
    """(5 - 3.6) V / 4.7 kohm = 0.298 mA into the protection diode."""
    divider = "divider = { top_ohm = 10000, bottom_ohm = 20000 }"
    wiring = (("boards/curlew-1.toml", divider, ""),)
    case = machine(assembly="marsh-230-curlew.toml", wiring=wiring)
    found = ask(RULE, case).finding
    assert found.severity is Severity.ADVICE
    assert "puts 5.0 V on" in found.message
    assert "stands 3.6 V: 0.3 mA flow into its protection diode" in found.message
    assert [n.value for n in found.numbers] == pytest.approx([5.0, 0.298], abs=5e-4)


def test_a_strong_pull_up_is_a_danger(machine, ask):
    """(5 - 3.6) V / 1 kohm = 1.4 mA."""
    divider = "divider = { top_ohm = 10000, bottom_ohm = 20000 }"
    pull = "pullup = { ohm = 4700, to_v = 5.0 }\n"
    wiring = (("boards/curlew-1.toml", pull + divider, "pullup = { ohm = 1000, to_v = 5.0 }"),)
    found = ask(RULE, machine(assembly="marsh-230-curlew.toml", wiring=wiring)).finding
    assert found.severity is Severity.DANGER


def test_a_pull_up_to_the_chips_own_supply_is_behind_the_divider(machine, ask):
    """3.3 V x 20 / (4.7 + 20) = 2.67 V, above the 2.0 V of the chip."""
    wiring = (("boards/curlew-1.toml", "4700, to_v = 5.0", "4700, to_v = 3.3"),)
    assert not ask(RULE, machine(assembly="marsh-230-curlew.toml", wiring=wiring)).findings


def test_a_divider_that_takes_too_much_leaves_no_high_level(machine, ask):
    """5 V x 5 / (4.7 + 10 + 5) = 1.27 V; the chip reads high from 2.0 V (RP2040 data sheet)."""
    divider = "bottom_ohm = 20000"
    wiring = (("boards/curlew-1.toml", divider, "bottom_ohm = 5000"),)
    case = machine(assembly="marsh-230-curlew.toml", wiring=wiring)
    found = ask(RULE, case).finding
    assert found.severity is Severity.FAULT
    assert found.numbers[0].value == pytest.approx(1.269, abs=0.001)
