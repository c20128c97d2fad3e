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
    """It holds within tolerance: 10.8 J/K, 0.108 W/K and 42.1 W settle at 414.9 C, tau 100 s.

    260 C after 100 ln(204.9 / 154.9) = 28.0 s less the 0.4 s of a sensor with 20 s of lag: 25 s
    hold (the next usual period is 30 s).
    """
    change = ask(RULE, machine(period(60.0))).finding.changes[0]
    assert (change.attribute, change.value, change.weakens) == ("trip_period_s", 25.0, "")
    assert not ask(RULE, machine(period(change.value))).findings


def test_a_band_that_is_never_left_is_narrowed(machine, ask):
    """210 - 190 = 20 C is below ambient: nothing cuts, the block settles at 358.3 C."""
    band = "hotend.heater", "trip_hysteresis_c"
    found = ask(RULE, machine({band: 190.0})).finding
    assert "at 210 C, nothing cuts it, up to 358 C" in found.message
    assert [n.value for n in found.numbers] == pytest.approx([358.3], abs=0.05)
    assert [(c.attribute, c.value) for c in found.changes] == [
        ("trip_period_s", 25.0),
        ("trip_hysteresis_c", 4.0),
    ]


def test_a_margin_of_1_k_is_no_agreement(machine, ask):
    """358.33 - 148.33 exp(-0.4022) = 259.1 C at 40 s: below 260 C, but not within tolerance."""
    asked = ask(RULE, machine(period(40.0)))
    assert not asked.findings
    assert "not within their tolerance" in asked.unchecked["hotend.heater", "trip_period_s"]


@pytest.mark.parametrize(("seconds", "state"), [(10, "agrees"), (25, "open"), (60, "contradicts")])
def test_between_both_ends_of_a_liner_nothing_is_earned(machine, ask, seconds, state):
    """Of the liner nobody says whether it stands 240 or 260 C, the block is measured.

    414.9 - 204.9 exp(-t / 100) of the light end, with 42.1 W: 230 C after 10.4 s and 256 C after
    25.4 s; as measured, 358.3 - 148.3 exp(-0.602) = 277 C after 60.2 s.
    """
    wiring = (
        ("marsh-230-c.toml", '[limits.hotend]\nmax_c = 260\nbecause = "liner"\n', ""),
        ("marsh-230-c.toml", '"block-marsh"', '"block-lined"'),
    )
    role = "hotend.heater"
    measured = {(role, "heat_capacity_j_k"): 12.0, (role, "loss_w_k"): 0.12}
    asked = ask(RULE, machine({**period(float(seconds)), **measured}, wiring=wiring))
    if state == "open":
        reason = asked.unchecked[role, "trip_period_s"]
        assert reason.startswith("it depends on the liner, which stands 240 to 260 C")
    elif state == "agrees":
        assert (role, "trip_period_s") in asked.agreed
    else:
        assert "at 277 C: the liner stands 260 C" in asked.finding.message


def test_near_miss_a_period_of_20_s(machine, ask):
    """414.9 - 204.9 exp(-0.204) = 247.8 C at the most."""
    assert ("hotend.heater", "trip_period_s") in ask(RULE, machine(period(20.0))).agreed


NO_BLOCK = (
    ("marsh-230-c.toml", '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-marsh"\n', ""),
)


@pytest.mark.parametrize(
    ("seconds", "comes"), [(8.0, "agrees"), (12.0, "depends"), (170.0, "depends"), (175.0, "fails")]
)
def test_an_unknown_block_is_judged_over_its_band(machine, ask, seconds, comes):
    """Light: 8 J/K, 0.04 W/K, 42.1 W: 1078 C, tau 200 s: 260 C after 11.9 s less 0.4 s.

    Heavy: 20 J/K, 0.15 W/K, 38.1 W: 279.0 C, tau 133 s: 260 C after 172.5 s.
    """
    asked = ask(RULE, machine(period(seconds), wiring=NO_BLOCK))
    spot = "hotend.heater", "trip_period_s"
    assert bool(asked.findings) is (comes == "fails")
    assert (spot in asked.agreed) is (comes == "agrees")
    assert comes != "depends" or "which nobody measured: holds" in asked.unchecked[spot]


def test_the_firmwares_own_measured_figures_count_before_the_part(machine, ask):
    """10.46 J/K and 0.0564 W/K: 40 W settle at 734.2 C, tau 185.5 s.

    734.2 - 524.2 exp(-40.22 / 185.5) = 312.2 C, where the part's figures give 259.1 C.
    """
    fit = {("hotend.heater", "heat_capacity_j_k"): 10.46, ("hotend.heater", "loss_w_k"): 0.0564}
    found = ask(RULE, machine({**period(40.0), **fit})).finding
    assert found.severity is Severity.DANGER
    assert found.numbers[0].value == pytest.approx(312.2, abs=0.05)


def test_a_stronger_heater_is_too_fast_for_the_same_period(machine, ask):
    """60 W settle at 525 C: 525 - 315 exp(-0.4022) = 314.3 C."""
    wiring = (("marsh-230-c.toml", '"heater-24v-40w"', '"heater-24v-60w"'),)
    found = ask(RULE, machine(period(40.0), wiring=wiring)).finding
    assert found.numbers[0].value == pytest.approx(314.3, abs=0.05)
    assert found.severity is Severity.DANGER


def test_a_period_in_doubt_or_no_protection_is_not_checked(machine, ask):
    unsure = Claim("hotend.heater", "trip_period_s", 60.0, unknown="it depends on y")
    asked = ask(RULE, machine(period(unsure)))
    assert asked.unchecked["hotend.heater", "trip_period_s"] == "it depends on y"
    asked = ask(RULE, machine({("hotend.heater", "protection"): False}))
    assert "switched off" in asked.unchecked["hotend.heater", "trip_period_s"]
