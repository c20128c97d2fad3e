"""`servo-not-counted`."""

import pytest

COUNT, NUMBER = ("probe.servo", "servo_count"), ("probe.servo", "servo_number")


@pytest.mark.parametrize(("count", "number"), [(0.0, 0.0), (1.0, 1.0), (1.0, 2.0)])
def test_a_servo_beyond_those_that_there_are(machine, ask, count, number):
    found = ask("servo-not-counted", machine({COUNT: count, NUMBER: number})).finding
    assert [(c.attribute, c.value) for c in found.changes] == [("servo_count", number + 1)]


def test_near_miss_more_servos_than_the_probe_needs(machine, ask):
    asked = ask("servo-not-counted", machine({COUNT: 2.0, NUMBER: 0.0}))
    assert not asked.findings
    assert COUNT in asked.agreed


def test_near_miss_a_style_that_does_not_count(machine, ask):
    asked = ask("servo-not-counted", machine({NUMBER: 0.0}))
    assert not asked.findings
    assert COUNT not in asked.agreed
