"""`fan-lowest-too-high`."""

import pytest

from pincheck.model.finding import Severity

RULE = "fan-lowest-too-high"
ON = "fan_speed: 1.0"


def test_a_part_fan_without_a_range(demo):
    (found,) = demo("section", ("toolhead.cfg", "off_below: 0.20", "off_below: 0.9")).findings
    assert (found.rule, found.severity) == (RULE, Severity.ADVICE)
    assert "knows nothing between off and 90%" in found.message
    assert found.changes[0].value == 0.2


def test_a_hot_end_fan_that_counts_as_off_when_it_is_on(demo):
    low = ("toolhead.cfg", ON, "fan_speed: 0.5\noff_below: 0.6")
    (found,) = demo("section", low).findings
    assert (found.rule, found.severity) == (RULE, Severity.DANGER)
    assert found.claims[0].setting.value == "0.6"
    assert "it never turns" in found.message


@pytest.mark.parametrize("lines", ["fan_speed: 0.6\noff_below: 0.6", "fan_speed: 0.5"])
def test_near_miss_on_above_off(demo, lines):
    assert not demo("section", ("toolhead.cfg", ON, lines)).findings


def test_near_miss_a_style_that_raises_a_slow_command(scripts):
    assert not scripts(("M106 P1 S1 H1 T50", "M106 P1 S0.5 L0.6 H1 T50")).findings
