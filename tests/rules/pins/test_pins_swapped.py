"""`pins-swapped`."""

from pincheck.check import judge
from pincheck.model.finding import Severity
from pincheck.model.reading import Reading
from pincheck.rules.registry import rules


def swapped(pin):
    return {("part.fan", "pin"): pin("PB6"), ("hotend.fan", "pin"): pin("PB8")}


def test_one_finding_names_both_and_no_other_rule_speaks(machine, pin):
    result = judge(machine(swapped(pin)), Reading("define", (), ()), rules())
    assert [finding.rule for finding in result.findings] == ["pins-swapped"]
    found = result.findings[0]
    assert found.severity is Severity.DANGER
    assert found.roles == ("hotend.fan", "part.fan", "part1.fan")
    assert found.message.endswith(
        "the part fan blows whenever the hot end is warm (first layers included), and the hot-end "
        "fan follows the part fan command and stands still on first layers."
    )
    assert {(c.role, c.value.place.pin) for c in found.changes} == {
        ("hotend.fan", "PB6"),
        ("part.fan", "PB8"),
    }


def test_two_heaters_swapped_are_a_danger(machine, ask, pin):
    case = machine({("hotend.heater", "pin"): pin("PA8"), ("bed.heater", "pin"): pin("PC8")})
    found = ask("pins-swapped", case).finding
    assert found.severity is Severity.DANGER
    assert "watched by the wrong sensor" in found.message


def test_near_miss_one_of_two_moved_is_no_swap(machine, ask, pin):
    assert not ask("pins-swapped", machine({("part.fan", "pin"): pin("PB6")})).findings
    assert not ask("pins-swapped", machine()).findings


def test_two_fans_of_a_kind_with_outputs_of_their_own_may_be_swapped_too(machine, ask, pin):
    """The second socket gets ribbon pin 8, which is PB7."""
    socket = 'part_fan_b]\npitch_mm = 3.96\nkeyed = true\ncontact_a = 5.0\npins = ["24V", '
    wiring = (
        ("boards/lapwing-c.toml", socket + '"FAN_PART"]', socket + '"FAN_B"]'),
        ("boards/lapwing-c.toml", '"FAN_HOTEND", "", ', '"FAN_HOTEND", "FAN_B", '),
    )
    right = {("part.fan", "pin"): pin("PB8"), ("part1.fan", "pin"): pin("PB7")}
    assert not ask("pins-swapped", machine(right, wiring=wiring)).findings
    wrong = {("part.fan", "pin"): pin("PB7"), ("part1.fan", "pin"): pin("PB8")}
    found = ask("pins-swapped", machine(wrong, wiring=wiring)).finding
    assert found.roles == ("part.fan", "part1.fan")
    one = {("part.fan", "pin"): pin("PB7")}
    assert ask("pin-differs", machine(one, wiring=wiring)).finding.role == "part.fan"
