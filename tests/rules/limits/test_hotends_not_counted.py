"""`hotends-not-counted`."""

import pytest

RULE = "hotends-not-counted"
COUNT = ("hotend.heater", "hotend_count")


@pytest.mark.parametrize("count", [0.0, -1.0])
def test_a_fitted_hot_end_beyond_those_that_are_counted(machine, ask, count):
    found = ask(RULE, machine({COUNT: count})).finding
    assert "counts 0 hot ends, and the hot-end heater is number 1" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("hotend_count", 1.0)]


@pytest.mark.parametrize("count", [1.0, 2.0])
def test_near_miss_as_many_or_more_extruders_than_hot_ends(machine, ask, count):
    """Two extruders may feed one hot end."""
    asked = ask(RULE, machine({COUNT: count}))
    assert not asked.findings
    assert COUNT in asked.agreed
