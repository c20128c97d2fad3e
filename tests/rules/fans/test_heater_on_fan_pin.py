"""`heater-on-fan-pin`."""

from pincheck.check import judge
from pincheck.model.finding import Severity
from pincheck.model.reading import Reading
from pincheck.rules.registry import rules


def test_a_heater_on_a_fans_switch(machine, pin):
    case = machine({("hotend.heater", "pin"): pin("PB6")})
    result = judge(case, Reading("define", (), ()), rules())
    assert [finding.rule for finding in result.findings] == ["heater-on-fan-pin"]
    found = result.findings[0]
    assert found.severity is Severity.DANGER
    assert "behind a switch rated 1.0 A that feeds the hot-end fan" in found.message
    assert found.changes[0].value.place.pin == "PC8"


def test_near_miss_a_heater_on_an_unused_fan_output(machine, ask, pin):
    """PB7 leads nowhere on this revision: the pin is wrong, but no fan is there."""
    assert not ask("heater-on-fan-pin", machine({("hotend.heater", "pin"): pin("PB7")})).findings
    assert not ask("heater-on-fan-pin", machine()).findings
