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


def test_homing_low_by_nothing_stops_the_build(machine, ask):
    said = {("z.endstop", "homing_pin"): None, ("z.endstop", "homing_end"): "low"}
    found = ask(RULE, machine(said)).finding
    assert found.severity is Severity.FAULT
    assert "neither let it wait for the probe nor give an end stop there a pin" in found.message


def test_near_miss_an_axis_that_homes_high_is_left_open(machine, ask):
    said = {("z.endstop", "homing_pin"): None, ("z.endstop", "homing_end"): "high"}
    asked = ask(RULE, machine(said))
    assert not asked.findings
    assert ("z.endstop", "homing_pin") in asked.unchecked


def test_an_axis_without_an_end_stop_of_any_kind(demo):
    """Near miss: a further motor of the axis needs none of its own."""
    line = "endstop_pin: probe:z_virtual_endstop   ; the probe homes Z\n"
    (found,) = demo("section", ("machine.cfg", line, "")).findings
    assert (found.rule, found.severity) == (RULE, Severity.FAULT)
    assert found.claims[0].near.section == "stepper_z"
    assert "no line says which pin that is" in found.message
    second = ("machine.cfg", "[heater_bed]", "[stepper_z1]\nstep_pin: PC6\n\n[heater_bed]")
    assert not {f.rule for f in demo("section", second).findings} & {RULE}


UNSET = ("M574 Z1 S2                             ; the probe homes Z\n", "")


def test_scripts_that_home_to_an_end_stop_which_nothing_sets_up(scripts):
    (found,) = scripts(UNSET, homez="G91\nG1 H2 Z5\nG1 H1 Z-240 F300\n").findings
    assert (found.rule, found.claims[0].setting.span.line) == (RULE, 3)


def test_near_miss_scripts_that_home_by_the_probe_alone(scripts):
    result = scripts(UNSET, homez="G91\nG1 H2 Z5\nG90\nG30\n", homeall='M98 P"homez.g"\n')
    assert not result.findings
    assert not result.unjudged


def test_scripts_that_were_not_sent_leave_homing_open(scripts):
    unjudged = {(v.role, v.attribute) for v in scripts(UNSET).unjudged}
    assert unjudged == {("z.endstop", "homing_pin")}


def test_an_end_stop_on_the_probes_own_pin_is_refused_by_scripts_too(scripts):
    (found,) = scripts((UNSET[0], 'M574 Z1 S1 P"^probe"\n')).findings
    assert (found.rule, found.claims[0].setting.value) == (RULE, "^probe")


TWICE = ("machine.cfg", "endstop_pin: probe:z_virtual_endstop", "endstop_pin: ^PB1")


def test_the_probes_own_pin_named_twice_is_refused(demo):
    result = demo("section", TWICE)
    (found,) = result.findings
    assert (found.rule, found.severity) == (RULE, Severity.FAULT)
    assert "the firmware refuses a pin that is named twice" in found.message
    assert found.changes[0].value.virtual


def test_near_miss_a_pin_that_the_files_let_several_name(demo):
    override = "[duplicate_pin_override]\npins: PB1\n[stepper_z]\n"
    result = demo("section", (TWICE[0], TWICE[1], override + TWICE[2]))
    assert RULE not in {found.rule for found in result.findings}
