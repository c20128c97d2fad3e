"""`fan-on-heater-pin`."""

from pincheck.check import judge
from pincheck.model.finding import Severity
from pincheck.model.reading import Reading
from pincheck.rules.registry import rules


def test_a_fan_on_the_heaters_switch_is_the_only_finding_and_a_danger(machine, pin):
    case = machine({("part.fan", "pin"): pin("PC8")})
    result = judge(case, Reading("define", (), ()), rules())
    assert [finding.rule for finding in result.findings] == ["fan-on-heater-pin"]
    found = result.findings[0]
    assert found.severity is Severity.DANGER
    assert "switches the hot-end heater (40 W)" in found.message
    assert "each part fan command heats with no limit" in found.message
    assert found.changes[0].value.place.pin == "PB8"


def test_where_the_heater_settles_with_nothing_to_stop_it(machine, ask, pin):
    """40 W into a block that loses 0.12 W/K in air of 25 C: 25 + 40 / 0.12 = 358.3 C."""
    found = ask("fan-on-heater-pin", machine({("part.fan", "pin"): pin("PC8")})).finding
    assert [(n.name, round(n.value, 1)) for n in found.numbers] == [
        ("where the hot-end heater settles", 358.3)
    ]


def test_an_unfitted_output_on_the_bed_is_one_too(machine, ask, pin):
    found = ask("fan-on-heater-pin", machine({("aux.output", "pin"): pin("PA8")})).finding
    assert "the bed heater (200 W)" in found.message


def test_near_miss_a_fan_on_another_fans_pin(machine, ask, pin):
    assert not ask("fan-on-heater-pin", machine({("part.fan", "pin"): pin("PB6")})).findings
    assert not ask("fan-on-heater-pin", machine()).findings
