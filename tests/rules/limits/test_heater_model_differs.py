"""`heater-model-differs`."""

import pytest

RULE = "heater-model-differs"


def test_a_model_of_a_stronger_heater(machine, ask):
    """24^2 / 14.4 ohm = 40 W."""
    found = ask(RULE, machine({("hotend.heater", "heater_w"): 60.0})).finding
    assert "reckons with 60 W and the fitted hot-end heater makes 40 W: it falls short" in (
        found.message
    )
    assert found.numbers[0].value == pytest.approx(40.0)
    assert found.changes[0].value == 40.0


def test_near_miss_within_what_elements_vary(machine, ask):
    asked = ask(RULE, machine({("hotend.heater", "heater_w"): 44.0}))
    assert not asked.findings
    assert asked.agreed == {("hotend.heater", "heater_w")}


def test_quiet_without_a_model(machine, ask):
    assert not ask(RULE, machine()).outcomes


def test_a_model_of_no_block_there_is(machine, ask):
    """40 W at 6.43 K/s: 6.22 J/K, less than 0.8 of the lightest published block (8 J/K)."""
    rates = {"model_rate_k_s": 6.43, "model_cooling_k_s": 0.7}
    case = machine({("hotend.heater", name): figure for name, figure in rates.items()})
    found = ask("heater-model-differs", case).finding
    assert "one of 6.22 J/K (8 to 20 are common) and 0.0435 W/K" in found.message
    assert found.spots == (("hotend.heater", "model_rate_k_s"),)
