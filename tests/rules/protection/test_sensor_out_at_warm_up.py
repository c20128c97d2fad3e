"""`sensor-out-at-warm-up`: 40 W into 0.12 W/K settle at 358.33 C, tau = 12 / 0.12 = 100 s."""

import pytest

from pincheck.model.claim import Claim
from pincheck.model.finding import Severity

RULE = "sensor-out-at-warm-up"
HEATER = "hotend.heater"
WATCH = (HEATER, "watch_period_s")
ACCUMULATED = {
    (HEATER, "protection_kind"): "accumulated",
    (HEATER, "max_error_ks"): 120.0,
    (HEATER, "trip_hysteresis_c"): 5.0,
}
MODEL = {
    (HEATER, "protection_kind"): "model",
    (HEATER, "trip_period_s"): 5.0,
    (HEATER, "trip_hysteresis_c"): 15.0,
    (HEATER, "model_rate_k_s"): 2.4,
    (HEATER, "model_cooling_k_s"): 0.36,
    (HEATER, "model_cooling_exponent"): 1.35,
    (HEATER, "model_dead_time_s"): 4.5,
}
NO_BLOCK = (
    ("marsh-230-c.toml", '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-marsh"\n', ""),
)


def changed(asked):
    return [(change.attribute, change.value) for change in asked.finding.changes]


def test_a_watch_of_half_an_hour_comes_too_late(machine, ask):
    """358.33 - 333.33 exp(-1800 / 100) = 358.3 C; the liner stands 260 C."""
    asked = ask(RULE, machine({WATCH: 1800.0}))
    found = asked.finding
    assert found.severity is Severity.DANGER
    assert found.spots == (WATCH,)
    assert found.message == (
        "If the sensor hangs beside the block before it warms up, the heater is cut after 1800 s, "
        "at 358 C: the liner stands 260 C, above that it softens, sheds harmful fumes and blocks "
        "the filament."
    )
    assert [number.value for number in found.numbers] == pytest.approx([358.3, 1800.0], abs=0.05)
    assert found.claims[0].attribute == "watch_period_s"
    # 20 s: 358.33 - 333.33 exp(-0.2) = 85 C, and a warm-up rises 2 K long before.
    assert changed(asked) == [("watch_period_s", 20.0)]
    assert not ask(RULE, machine({WATCH: 20.0})).findings


@pytest.mark.parametrize(
    ("seconds", "comes"), [(92.0, "agrees"), (93.0, "depends"), (122.0, "depends"), (123.0, 260.9)]
)
def test_near_miss_the_last_whole_second(machine, ask, seconds, comes):
    """260 C after 100 ln(333.33 / 98.33) = 122.08 s; 358.33 - 333.33 exp(-1.23) = 260.9 C.

    Within tolerance 42.1 W and 0.108 W/K settle at 414.9 C: 100 ln(389.9 / 154.9) = 92.3 s.
    """
    asked = ask(RULE, machine({WATCH: seconds}))
    if isinstance(comes, float):
        assert asked.finding.numbers[0].value == pytest.approx(comes, abs=0.05)
    else:
        assert not asked.findings
        assert (WATCH in asked.agreed) is (comes == "agrees")


def test_no_watch_at_all(machine, ask):
    """A period of 0 switches the watch off: the block settles at 358.3 C."""
    asked = ask(RULE, machine({WATCH: 0.0, (HEATER, "watch_increase_c"): None}))
    assert "before it warms up, nothing cuts it, up to 358 C" in asked.finding.message
    assert [n.value for n in asked.finding.numbers] == pytest.approx([358.3], abs=0.05)
    assert changed(asked) == [("watch_period_s", 20.0), ("watch_increase_c", 2.0)]


def test_an_error_sum_that_waits_for_a_gain(machine, ask):
    """The gain is missed at 1800 s and the sum long full: cut at 1801 s, 358.3 C."""
    asked = ask(RULE, machine({**ACCUMULATED, WATCH: 1800.0}))
    assert [n.value for n in asked.finding.numbers] == pytest.approx([358.3, 1801.0], abs=0.05)
    assert changed(asked) == [("watch_period_s", 20.0)]


def test_an_error_sum_too_large_to_fill(machine, ask):
    """205 - 25 = 180 K a second: 100000 K s are full at 556 s, 358.33 - 333.33 exp(-5.56) C."""
    asked = ask(RULE, machine({**ACCUMULATED, (HEATER, "max_error_ks"): 100_000.0}))
    assert [n.value for n in asked.finding.numbers] == pytest.approx([357.05, 556.0], abs=0.05)
    assert changed(asked) == [("max_error_ks", 120.0)]


@pytest.mark.parametrize("kind", [{}, ACCUMULATED])
def test_a_band_that_reaches_down_to_ambient(machine, ask, kind):
    """25 C is within 190 K of 210 C: the firmware takes it for arrived and watches no rise."""
    band = HEATER, "trip_hysteresis_c"
    asked = ask(RULE, machine({**kind, band: 190.0}))
    assert "nothing cuts it, up to 358 C" in asked.finding.message
    assert changed(asked) == [("trip_hysteresis_c", 5.0 if kind else 4.0)]


def test_a_heater_model_that_is_given_too_much_time(machine, ask):
    """2.4 K/s expected: faults count from 2 x 4.5 s on, 309.25 s is the first beyond 300 s.

    40 W at 2.4 K/s is a block of 16.67 J/K, that loses 0.0036 x 16.67 x 1.85^0.35 = 0.0744 W/K in a
    print: 562.4 C, tau 224 s, 562.4 - 537.4 exp(-309.25 / 224) = 427.4 C.
    """
    asked = ask(RULE, machine({**MODEL, (HEATER, "trip_period_s"): 300.0}))
    found = asked.finding
    assert [n.value for n in found.numbers] == pytest.approx([427.4, 309.25], abs=0.05)
    assert found.spots == ((HEATER, "model_rate_k_s"),)
    assert changed(asked) == [("trip_period_s", 5.0)]
    assert (HEATER, "model_rate_k_s") in ask(RULE, machine(MODEL)).agreed


def test_a_model_nobody_gave_or_too_slow_is_not_checked(machine, ask):
    """0.75 x 0.3 = 0.225 K/s is less than the 0.25 K/s of noise."""
    spot = HEATER, "model_rate_k_s"
    asked = ask(RULE, machine({**MODEL, spot: None}))
    assert asked.unchecked[spot] == "the heater model of the firmware is not known"
    asked = ask(RULE, machine({**MODEL, spot: 0.3}))
    assert asked.unchecked[spot] == "the firmware's heater model is too slow to tell from noise"


@pytest.mark.parametrize(("seconds", "told"), [(340.0, False), (350.0, True)])
def test_a_block_that_is_only_assumed_gets_the_benefit_of_the_doubt(machine, ask, seconds, told):
    """The heaviest, 20 J/K and 0.15 W/K, settles with 38.1 W at 279.0 C, tau 133.3 s.

    260 C after 133.3 ln(254 / 19) = 345.7 s.
    """
    asked = ask(RULE, machine({WATCH: seconds}, wiring=NO_BLOCK))
    assert bool(asked.findings) is told
    assert told or "which nobody measured: holds above" in asked.unchecked[WATCH]


def test_without_a_setting_that_does_both_it_says_so(machine, ask):
    """Limit 40 C: 15 K take 100 ln(333.33 / 318.33) = 4.6 s, shorter than any usual watch."""
    wiring = (("marsh-230-c.toml", "max_c = 260", "max_c = 40"),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert found.changes == ()
    assert "fit a weaker heater" in found.advice


def test_a_strong_heater_gets_a_shorter_watch(machine, ask):
    """12 V on 24 V: 160 W settle at 1358 C, 260 C after 100 ln(1333.3 / 1098.3) = 19.4 s.

    15 s: 1358.33 - 1333.33 exp(-0.15) = 210.7 C.
    """
    wiring = (("marsh-230-c.toml", '"heater-24v-40w"', '"heater-12v-40w"'),)
    asked = ask(RULE, machine(wiring=wiring))
    # 1358.33 - 1333.33 exp(-0.2) = 266.7 C after the stock 20 s
    assert [n.value for n in asked.finding.numbers] == pytest.approx([266.7, 20.0], abs=0.05)
    assert changed(asked) == [("watch_period_s", 15.0)]


@pytest.mark.parametrize("watts", ["40", "60"])
def test_stock_settings_with_ordinary_heaters_agree(machine, ask, watts):
    """60 W settle at 525 C: 525 - 500 exp(-0.21) = 119.7 C after the 21 s of an error sum."""
    wiring = (("marsh-230-c.toml", '"heater-24v-40w"', f'"heater-24v-{watts}w"'),)
    for stock in ({}, ACCUMULATED, MODEL):
        assert not ask(RULE, machine(stock, wiring=wiring)).findings


def test_a_watch_in_doubt_is_not_checked(machine, ask):
    unsure = Claim(HEATER, "watch_period_s", 20.0, unknown="it depends on y")
    assert ask(RULE, machine({WATCH: unsure})).unchecked[WATCH] == "it depends on y"
