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
