"""`converter-pin-overdriven`."""

import pytest

from pincheck.model.finding import Severity

RULE = "converter-pin-overdriven"
PULL = "pullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }\n\n[nets.THB]"


def pulled(volts):
    return (("boards/heron-2.toml", PULL, PULL.replace("3.3", f"{volts:.1f}")),)


def test_a_pull_up_to_12_v(machine, ask):
    """(12 - 3.3 - 0.6) V / (4700 + 10) ohm = 1.72 mA."""
    found = ask(RULE, machine(wiring=pulled(12.0))).finding
    assert "goes to 12 V: with a cold or open sensor 1.7 mA flow into PC5" in found.message
    assert found.numbers[0].value == pytest.approx(1.72, abs=0.01)
    assert found.severity is Severity.ADVICE


def test_a_strong_pull_up_is_more_than_the_pin_bears(machine, ask):
    """(24 - 3.9) V / (1000 + 10) ohm = 19.9 mA, of 5 mA."""
    strong = PULL.replace("4700", "1000").replace("3.3", "24.0")
    found = ask(RULE, machine(wiring=(("boards/heron-2.toml", PULL, strong),))).finding
    assert "19.9 mA flow into PC5" in found.message
    assert "and 5 mA: the pin or the whole chip is destroyed" in found.message
    assert found.severity is Severity.DANGER


def test_near_miss_a_pull_up_to_5_v(machine, ask):
    """(5 - 3.9) V / 4710 ohm = 0.23 mA: pins bear it for years."""
    assert not ask(RULE, machine(wiring=pulled(5.0))).findings
