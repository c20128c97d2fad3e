"""`false-trip-by-fan`."""

import pytest

RULE = "false-trip-by-fan"


def test_a_capped_heater_cannot_hold_against_the_fan(machine, ask):
    """With the fan the block loses 0.12 + 0.05 = 0.17 W/K: 0.17 x (210 - 25) = 31.45 W.

    The heater gives 40 x 0.7 = 28 W, and with them 25 + 28 / 0.17 = 189.7 C, tau 12 / 0.17 =
    70.6 s. The controller answers after 1 s of dead time; the sensor then lags by 3 s:
    189.7 + 20.4 exp(-x / 70.6) is 206 C at x = 15.9 s, shown 1 s later: 1 + 15.9 + 1 + 40 = 58 s.
    """
    found = ask(RULE, machine({("hotend.heater", "max_power"): 0.7})).finding
    assert "With the part fan on, 210 C needs 31 W and the hot-end heater gives 28 W" in (
        found.message
    )
    assert "the firmware stops the print 58 s after the fan starts" in found.message
    assert found.numbers[0].value == pytest.approx(31.45)
    assert "max_power" in {claim.attribute for claim in found.claims}


def test_near_miss_a_cap_that_is_enough(machine, ask):
    """40 x 0.95 = 38 W, 36.2 W within tolerance; 1.1 x 0.17 x (206 - 25) = 33.8 W are needed.

    With 32 W it holds only as long as the figures are exact.
    """
    asked = ask(RULE, machine({("hotend.heater", "max_power"): 0.8}))
    assert not asked.findings
    assert "nobody measured" not in asked.unchecked["hotend.heater", "trip_hysteresis_c"]
    asked = ask(RULE, machine({("hotend.heater", "max_power"): 0.95}))
    assert not asked.findings
    assert ("hotend.heater", "trip_hysteresis_c") in asked.agreed


def test_how_much_the_fan_cools_is_not_guessed(machine, ask):
    block = '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-marsh"\n'
    wiring = (("marsh-230-c.toml", block, ""),)
    asked = ask(RULE, machine({("hotend.heater", "max_power"): 0.7}, wiring=wiring))
    assert not asked.findings
    # (0.04 + 0.05) x 185 = 16.7 W to (0.15 + 0.05) x 185 = 37 W
    assert "takes 17 to 37 W of the 28 W" in asked.unchecked["hotend.heater", "trip_hysteresis_c"]


def test_without_a_part_fan_there_is_nothing_to_ask(machine, ask):
    wiring = (
        ("marsh-230-c.toml", 'role = "part.fan"', 'role = "controller.fan"'),
        ("marsh-230-c.toml", 'role = "part1.fan"', 'role = "controller1.fan"'),
    )
    case = machine({("hotend.heater", "max_power"): 0.7}, wiring=wiring)
    assert not ask(RULE, case).outcomes
