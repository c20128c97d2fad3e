"""`broken-wire-unnoticed`."""

import pytest

from pincheck.model.finding import Severity

RULE = "broken-wire-unnoticed"
PULLUP = 'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }'


def to_v(volt):
    return (("boards/heron-2.toml", PULLUP, PULLUP.replace("3.3", volt)),)


def test_a_pull_up_to_a_lower_rail_makes_a_broken_wire_read_warm(machine, ask):
    """Open, the line stands at 1.8 V of 3.3 V: 0.5455 of full scale.

    The firmware takes that for 4700 x 0.5455 / 0.4545 = 5640 ohm. The table has 7686 ohm at 90 C
    and 5556 ohm at 100 C: ln(5640 / 5556) / ln(7686 / 5556) = 0.0462 of the way back in 1/T,
    1/373.15 + 0.0462 x (1/363.15 - 1/373.15) = 0.00268330: 372.68 K, 99.53 C, printed as 100.
    """
    found = ask(RULE, machine(wiring=to_v("1.8"))).finding
    assert found.severity is Severity.DANGER
    assert found.numbers[0].value == pytest.approx(99.53, abs=0.005)
    assert found.message.startswith(
        "A broken wire of the hot-end sensor reads 100 C, inside the limits of 5 to 270 C"
    )


def test_near_miss_the_converters_own_reference(machine, ask):
    asked = ask(RULE, machine())
    assert not asked.findings
    assert ("hotend.heater", "min_c") in asked.agreed


def test_limits_that_catch_it_anyway(machine, ask):
    case = machine({("hotend.heater", "min_c"): 110.0}, wiring=to_v("1.8"))
    assert not ask(RULE, case).findings
