"""`sensor-falls-out-too-hot`."""

import pytest

from pincheck.model.claim import Claim
from pincheck.model.finding import Severity

RULE = "sensor-falls-out-too-hot"


def period(seconds):
    return {("hotend.heater", "trip_period_s"): seconds}


def test_a_long_period_lets_the_block_past_its_liner(machine, ask):
    """40 W into 0.12 W/K settle at 25 + 40 / 0.12 = 358.33 C, tau = 12 / 0.12 = 100 s.

    The sensor in air (lag 10 s) is 4 K below 210 C after 10 ln(185 / 181) = 0.22 s; with a
    period of 60 s the cut comes after 60.22 s. The block is then at
    358.33 - 148.33 exp(-0.6022) = 277.1 C; the liner stands 260 C.
    """
    found = ask(RULE, machine(period(60.0))).finding
    # 17 K past the liner's limit, until the cut.
    assert found.severity is Severity.ADVICE
    assert "at 210 C, the heater is cut after 60 s, at 277 C" in found.message
    assert found.numbers[0].value == pytest.approx(277.1, abs=0.05)
    assert found.numbers[1].value == pytest.approx(60.22, abs=0.005)


def test_the_change_is_the_longest_usual_period_that_holds(machine, ask):
    """260 C is reached after 100 ln(148.33 / 98.33) = 41.11 s; 41.11 - 0.22 = 40.9, so 40 s."""
    change = ask(RULE, machine(period(60.0))).finding.changes[0]
    assert (change.attribute, change.value, change.weakens) == ("trip_period_s", 40.0, "")
    assert not ask(RULE, machine(period(change.value))).findings


def test_a_band_that_is_never_left_is_narrowed(machine, ask):
    """210 - 190 = 20 C is below ambient: nothing cuts, the block settles at 358.3 C."""
    band = "hotend.heater", "trip_hysteresis_c"
    found = ask(RULE, machine({band: 190.0})).finding
    assert "at 210 C, nothing cuts it, up to 358 C" in found.message
    assert [n.value for n in found.numbers] == pytest.approx([358.3], abs=0.05)
    assert [(c.attribute, c.value) for c in found.changes] == [("trip_hysteresis_c", 4.0)]


def test_near_miss_a_period_of_40_s(machine, ask):
    """358.33 - 148.33 exp(-0.4022) = 259.1 C: just below 260 C."""
    asked = ask(RULE, machine(period(40.0)))
    assert not asked.findings
    assert ("hotend.heater", "trip_period_s") in asked.agreed


def test_a_stronger_heater_is_too_fast_for_the_same_period(machine, ask):
    """60 W settle at 525 C: 525 - 315 exp(-0.4022) = 314.3 C."""
    wiring = (("marsh-230-c.toml", '"heater-24v-40w"', '"heater-24v-60w"'),)
    found = ask(RULE, machine(period(40.0), wiring=wiring)).finding
    assert found.numbers[0].value == pytest.approx(314.3, abs=0.05)
    assert found.severity is Severity.DANGER


def test_a_block_of_unknown_weight_may_be_heavy_enough(machine, ask):
    """40 W and 12 J/K: 277.1 C. With 20 J/K: tau 20 / 0.12 = 166.7 s, still
    358.33 - 148.33 exp(-60.22 / 166.7) = 255.0 C, below 260 C."""
    block = '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-lined"\n'
    asked = ask(RULE, machine(period(60.0), wiring=(("marsh-230-c.toml", block, ""),)))
    assert not asked.findings
    assert "gives no figures" in asked.unchecked["hotend.heater", "trip_period_s"]


def test_a_period_in_doubt_or_no_protection_is_not_checked(machine, ask):
    unsure = Claim("hotend.heater", "trip_period_s", 60.0, unknown="it depends on y")
    asked = ask(RULE, machine(period(unsure)))
    assert asked.unchecked["hotend.heater", "trip_period_s"] == "it depends on y"
    asked = ask(RULE, machine({("hotend.heater", "protection"): False}))
    assert "switched off" in asked.unchecked["hotend.heater", "trip_period_s"]
