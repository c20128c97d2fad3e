"""`homing-not-possible`."""

import pytest

X_BY, X_END, Z_END = (
    ("x.endstop", "homes_by"),
    ("x.endstop", "homing_end"),
    ("z.endstop", "homing_end"),
)


@pytest.mark.parametrize("by", ["probe", "stall"])
def test_a_switch_that_nobody_looks_at(machine, ask, by):
    found = ask("homing-not-possible", machine({X_BY: by})).finding
    assert found.spots == (X_BY,)
    assert f"waits for the {by} instead" in found.message


def test_a_switch_at_an_end_that_is_said_to_have_none(machine, ask):
    assert ask("homing-not-possible", machine({X_END: "none"})).finding.spots == (X_END,)


def test_a_probe_meets_the_bed_at_the_low_end(machine, ask):
    found = ask("homing-not-possible", machine({Z_END: "high"})).finding
    assert [(c.attribute, c.value) for c in found.changes] == [("homing_end", "low")]


def test_near_miss_a_switch_may_sit_at_either_end(machine, ask):
    asked = ask("homing-not-possible", machine({X_END: "high", X_BY: "switch", Z_END: "low"}))
    assert not asked.findings
    assert X_BY in asked.agreed
    assert Z_END in asked.agreed
