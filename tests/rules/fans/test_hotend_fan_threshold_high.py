"""`hotend-fan-threshold-high`."""

import pytest

from pincheck.model.finding import Severity

RULE = "hotend-fan-threshold-high"


@pytest.mark.parametrize(
    ("threshold_c", "over_k", "severity"),
    [(90.0, 30.0, Severity.ADVICE), (150.0, 90.0, Severity.FAULT)],
)
def test_a_late_start(machine, ask, threshold_c, over_k, severity):
    """90 - 60 = 30 K and 150 - 60 = 90 K."""
    found = ask(RULE, machine({("hotend.fan", "threshold_c"): threshold_c})).finding
    assert found.severity is severity
    assert f"at {threshold_c:.0f} C, {over_k:.0f} K above" in found.message
    assert found.numbers[0].value == over_k
    assert found.changes[0].value == 50.0


def test_near_miss_the_highest_usual_threshold(machine, ask):
    asked = ask(RULE, machine({("hotend.fan", "threshold_c"): 60.0}))
    assert not asked.findings
    assert asked.agreed == {("hotend.fan", "threshold_c")}
