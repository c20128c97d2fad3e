"""`false-trip-at-warm-up`."""

RULE = "false-trip-at-warm-up"
HEATER = "hotend.heater"
MODEL = {
    (HEATER, "protection_kind"): "model",
    (HEATER, "trip_period_s"): 5.0,
    (HEATER, "trip_hysteresis_c"): 15.0,
    (HEATER, "model_cooling_k_s"): 1.0,
    (HEATER, "model_dead_time_s"): 5.0,
}


def test_a_capped_bed_is_too_slow_for_the_firmware(machine, ask):
    """200 W x 0.2 = 40 W into 1.1 W/K settle at 61.36 C, tau 520 / 1.1 = 472.7 s.

    Asked for 60 C with 2 K in each 60 s. With 12 s of lag and 3 s of dead time the reading is
    61.36 - 37.31 exp(-(t - 3) / 472.7): from t on 60 s bring 4.447 exp(-(t - 3) / 472.7) K, 2.09 K
    at 360 s and 1.84 K at 420 s, where it reads 45.9 C: it is cut at 480 s.
    """
    found = ask(RULE, machine({("bed.heater", "max_power"): 0.2})).finding
    assert found.role == "bed.heater"
    assert found.message == (
        "Warming up to 60 C with 40 W (20% of its power) is slower than the firmware expects: it "
        "stops with a heating fault of the bed heater after 480 s."
    )
    # the cap is what is wrong: more time would not bring the bed further
    assert found.claims[0].attribute == "max_power"
    assert [c.attribute for c in found.changes] == ["max_power"]
    assert found.changes[0].weakens
    assert found.numbers[0].value == 480.0


def test_the_change_gives_more_time_and_says_that_it_weakens(machine, ask):
    case = machine(
        {
            ("hotend.heater", "watch_period_s"): 4.0,
            ("hotend.heater", "watch_increase_c"): 4.0,
        }
    )
    # After 1 s of dead time and 3 s of heating with 3.3 K/s a sensor of 3 s lag shows 3.6 K.
    change = ask(RULE, case).finding.changes[0]
    assert change.attribute == "watch_period_s"
    assert change.value > 4.0
    assert change.weakens.startswith("watch time raised from 4 s")


def test_near_miss_the_same_bed_at_full_power(machine, ask):
    asked = ask(RULE, machine())
    assert not asked.findings
    assert ("bed.heater", "watch_period_s") in asked.agreed


def test_a_watch_time_below_the_plates_own_delay_is_lengthened_far_enough(machine, ask):
    """200 W heat the plate by 0.38 K/s behind 12 s of delay: 4 x 5 s would still be too short."""
    case = machine({("bed.heater", "watch_period_s"): 5.0, ("bed.heater", "watch_increase_c"): 4.0})
    change = ask(RULE, case).finding.changes[0]
    assert (change.attribute, change.value) == ("watch_period_s", 30.0)


def test_a_model_of_a_much_stronger_heater(machine, ask):
    """Shipped constants measured nothing: 340 / 140 = 2.43 K/s is asked of 24 J/K.

    40 W bring 1.67 K/s; expected are 0.75 x 2.43 - 0.25 = 1.57 K/s less 0.714 K/s per 100 K. With
    24 J/K and 0.24 W/K they bring 1.67 K/s less 1 K/s per 100 K: too little from 35 K of rise on.
    """
    shipped = {"model_gain_k": 340.0, "model_tau_s": 140.0, "model_dead_time_s": 5.5}
    changed = {**MODEL, **{(HEATER, name): figure for name, figure in shipped.items()}}
    heavy = {(HEATER, "heat_capacity_j_k"): 24.0, (HEATER, "loss_w_k"): 0.24}
    del changed[HEATER, "model_cooling_k_s"]
    asked = ask(RULE, machine({**changed, **heavy}))
    found = asked.finding
    assert "Warming up to 210 C with 40 W is slower than the firmware expects" in found.message
    assert found.spots == ((HEATER, "model_rate_k_s"),)
    assert (found.changes, found.advice[:23]) == ((), "Let the firmware measur")
    assert (HEATER, "model_rate_k_s") in ask(RULE, machine(changed)).agreed


NO_PLATE = (
    ("marsh-230-c.toml", '[fit.bed_plate]\nrole = "bed.plate"\npart = "plate-marsh"\n', ""),
)


def test_a_slow_bed_of_unknown_weight_may_be_a_light_one(machine, ask):
    """40 W into the 3.3 W/K of a plate that loses most settle at 37 C, far below 60 C.

    One of 200 J/K and 0.5 W/K warms by 0.2 K/s at first and 0.11 K/s at 60 C.
    """
    asked = ask(RULE, machine({("bed.heater", "max_power"): 0.2}, wiring=NO_PLATE))
    assert not asked.findings
    assert "plate, which nobody measured" in asked.unchecked["bed.heater", "watch_period_s"]


def test_a_bed_too_slow_whatever_its_weight(machine, ask):
    """200 W bring even 200 J/K no more than 1 K/s, behind 3 s of delay: not 6 K in 3 s."""
    spots = {("bed.heater", "watch_period_s"): 3.0, ("bed.heater", "watch_increase_c"): 6.0}
    assert ask(RULE, machine(spots, wiring=NO_PLATE)).finding.role == "bed.heater"


def test_an_unknown_model_is_not_checked(machine, ask):
    asked = ask(RULE, machine(MODEL))
    assert "heater model" in asked.unchecked[HEATER, "model_rate_k_s"]
