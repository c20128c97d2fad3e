"""`probe-kind-differs`."""

from pincheck.model.finding import Severity

KIND = ("probe.signal", "probe_kind")
NPN = (("marsh-230-c.toml", '"probe-servo-5v"', '"probe-inductive-npn"\npins = [1, 4, 5]'),)


def test_a_probe_that_is_deployed_and_taken_for_a_fixed_one_is_a_danger(machine, ask):
    found = ask("probe-kind-differs", machine({KIND: "fixed"})).finding
    assert found.severity is Severity.DANGER
    assert "drives the nozzle into the bed" in found.message
    assert found.changes == ()


def test_a_probe_whose_deploying_nobody_told_of_gets_its_kind(machine, ask):
    found = ask("probe-kind-differs", machine({KIND: None})).finding
    assert [(c.attribute, c.value) for c in found.changes] == [("probe_kind", "servo-deployed")]
    assert found.claims[0].attribute == "pin"


def test_a_fixed_probe_taken_for_one_that_is_deployed_is_a_fault(machine, ask):
    found = ask("probe-kind-differs", machine({}, wiring=NPN)).finding
    assert found.severity is Severity.FAULT


def test_near_miss_a_fixed_probe_of_which_nothing_is_said_is_not_checked(machine, ask):
    asked = ask("probe-kind-differs", machine({KIND: None}, wiring=NPN))
    assert not asked.findings
    assert KIND in asked.unchecked


def test_near_miss_the_same_kind_agrees(machine, ask):
    asked = ask("probe-kind-differs", machine({KIND: "servo-deployed"}))
    assert not asked.findings
    assert KIND in asked.agreed


def test_scripts_of_the_older_generation_that_say_there_is_no_probe(scripts):
    older = "M305 P0 B3950\nM305 P1 B4725\nM574 Z1 S2\nM558 P{}\nM563 P0 D0 H1\n"
    findings = [
        f for f in scripts(config=older.format(0)).findings if f.rule == "probe-kind-differs"
    ]
    assert [f.severity for f in findings] == [Severity.DANGER]
    assert findings[0].message.endswith(
        "the firmware is told that there is none: nobody looks at it, and homing drives the nozzle "
        "into the bed."
    )
    rules = {f.rule for f in scripts(config=older.format(9)).findings}
    assert "probe-kind-differs" not in rules
