"""`heater-watches-wrong-sensor`."""

from pincheck.model.claim import Claim
from pincheck.model.finding import Severity

RULE = "heater-watches-wrong-sensor"
SPOT = ("hotend.heater", "regulated_by")


def test_a_hot_end_that_follows_the_bed(machine, ask):
    found = ask(RULE, machine({SPOT: "bed.sensor"})).finding
    assert found.severity is Severity.DANGER
    assert found.spots == (SPOT,)
    assert "stays on at full power while the bed sensor is cold" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("regulated_by", "hotend.sensor")]


def test_each_heater_on_the_others_sensor_is_told_apart(machine, ask):
    bed = ("bed.heater", "regulated_by")
    asked = ask(RULE, machine({SPOT: "bed.sensor", bed: "hotend.sensor"}))
    assert {f.spots for f in asked.findings} == {(SPOT,), (bed,)}


def test_near_miss_a_heater_whose_own_sensor_the_wiring_does_not_know(machine, ask):
    fitted = ("marsh-230-c.toml", 'role = "bed.sensor"', 'role = "aux.sensor"')
    asked = ask(RULE, machine({("bed.heater", "regulated_by"): "aux.sensor"}, wiring=[fitted]))
    assert not asked.findings
    assert "the wiring has no sensor" in asked.unchecked["bed.heater", "regulated_by"]


def test_a_number_that_nobody_set_up_is_not_checked(machine, ask):
    claim = Claim(*SPOT, "4", unknown="no sensor 4 is set up")
    asked = ask(RULE, machine({SPOT: claim}))
    assert asked.unchecked == {SPOT: "no sensor 4 is set up"}


def test_quiet_where_the_style_ties_no_sensor_to_a_heater(machine, ask):
    assert ask(RULE, machine()).outcomes == ()
    assert ask(RULE, machine({SPOT: "hotend.sensor"})).agreed == {SPOT}
