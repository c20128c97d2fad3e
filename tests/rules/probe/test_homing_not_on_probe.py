"""`homing-not-on-probe`."""

from pincheck.model.finding import Severity

RULE = "homing-not-on-probe"


def test_homing_on_an_end_stop_that_is_not_there(machine, ask, pin):
    found = ask(RULE, machine({("z.endstop", "homing_pin"): pin("PC2")})).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "Homing waits for PC2, where nothing is wired; the probe is on PB1: nothing triggers and "
        "the nozzle is driven into the bed."
    )
    assert found.changes[0].value.virtual


def test_near_miss_homing_on_the_probes_own_pin(machine, ask, pin):
    asked = ask(RULE, machine({("z.endstop", "homing_pin"): pin("PB1")}))
    assert not asked.findings
    assert asked.agreed == {("z.endstop", "homing_pin")}


def test_an_end_stop_that_is_fitted_may_home_too(machine, ask, pin):
    fit = '[fit.y_endstop]\nrole = "y.endstop"\nat = "main.stop_y"'
    wiring = (("marsh-230-c.toml", fit, '[fit.z]\nrole = "z.endstop"\nat = "main.stop_z"'),)
    case = machine({("z.endstop", "homing_pin"): pin("PC2")}, wiring=wiring)
    assert not ask(RULE, case).findings


def test_files_that_say_nothing_are_not_checked(machine, ask):
    asked = ask(RULE, machine({("z.endstop", "homing_pin"): None}))
    assert not asked.findings
    assert ("z.endstop", "homing_pin") in asked.unchecked


def test_several_parts_on_the_pin_are_told_as_several(machine, ask, pin):
    found = ask(RULE, machine({("z.endstop", "homing_pin"): pin("PB8")})).finding
    assert "where the part fan and the second part fan are wired" in found.message


def test_behind_a_cable_that_joins_supplies_the_cable_alone_is_told(machine, ask, pin):
    wiring = (("marsh-230-c.toml", 'wiring = "straight"', 'wiring = "mirrored"'),)
    case = machine({("z.endstop", "homing_pin"): pin("PC2")}, wiring=wiring)
    assert not ask(RULE, case).findings
