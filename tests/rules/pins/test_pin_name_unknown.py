"""`pin-name-unknown`."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.model.finding import Finding, Severity

RULE = "pin-name-unknown"


@pytest.fixture
def found(tmp_path: Path):
    """Return a maker of the findings of one line of the demo written another way."""

    def look(old: str, new: str) -> list[Finding]:
        shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
        path = tmp_path / "clean/gcode/toolhead.g"
        path.write_text(path.read_text().replace(old, new))
        machine = api.load_configuration(path.parent)
        result = api.check(machine, api.load_wiring(tmp_path / "marsh-230-c.toml"))
        return list(result.findings)

    return look


def test_a_name_that_the_list_lacks_is_a_fault_at_its_line(found) -> None:
    (finding,) = (f for f in found('C"fan2" Q', 'C"fan22" Q') if f.rule == RULE)
    assert finding.severity is Severity.FAULT
    assert finding.message == (
        "Heron 2 has no pin 'fan22' (the nearest name is fan2): the firmware stops at it with an "
        "error, and the part fan never turns (overhangs and bridges sag)."
    )
    assert finding.span
    assert (finding.span.source, finding.span.line) == ("toolhead.g", 12)


@pytest.mark.parametrize("name", ["FAN2", "Fan2", "pb8", "PB8"])
def test_near_miss_another_case_or_the_chips_own_name(found, name: str) -> None:
    assert found('C"fan2" Q', f'C"{name}" Q') == []


def told(result):
    return [finding for finding in result.findings if finding.rule == RULE]


@pytest.mark.parametrize(
    ("old", "new", "role", "edit"),
    [
        ("heater_pin: PC8", "heater_pin: pc8", "hotend.heater", "heater_pin: PC8"),
        ("sensor_pin: ^PB1", "sensor_pin: ^pb1", "probe.signal", "sensor_pin: ^PB1"),
        ("pin: PB6", "pin: FAN7", "hotend.fan", "pin: PB6"),
    ],
)
def test_small_letters_and_names_of_nothing_in_the_section_style(demo, old, new, role, edit):
    result = demo("section", ("toolhead.cfg", old, new))
    (found,) = told(result)
    assert (found.severity, found.role) == (Severity.FAULT, role)
    assert found.claims[0].setting.value == new.partition(": ")[2]
    proposal = next(p for p in api.propose(result) if p.finding is found)
    assert [e.replacement for e in proposal.edits] == [edit.partition(": ")[2]]


def test_a_pin_that_is_no_roles_counts_too(demo):
    (found,) = told(demo("section", ("machine.cfg", "dir_pin: !PA5", "dir_pin: !pa5")))
    assert "'pa5'" in found.message
    assert (found.role, found.span.line) == ("x.motor", 19)


def test_no_edit_writes_small_letters(demo):
    """The pin to write is not the line's own: the user's small letters are no manner to follow."""
    result = demo("section", ("toolhead.cfg", "pin: PB8", "pin: pb7"))
    proposals = [p for p in api.propose(result) if p.edits]
    assert {e.replacement for p in proposals for e in p.edits} == {"PB8"}


def test_a_name_that_the_boards_list_lacks_in_the_gcode_style(demo):
    result = demo("gcode", ("toolhead.g", 'F0 C"fan2"', 'F0 C"fan9"'))
    (found,) = told(result)
    assert "'fan9' (the nearest name is fan2)" in found.message
    assert found.role == "part.fan"
    (proposal,) = (p for p in api.propose(result) if p.finding is found)
    assert [e.replacement for e in proposal.edits] == ["fan2"]


def test_near_miss_capitals_in_scripts_and_names_that_a_file_may_give(demo):
    assert not told(demo("gcode", ("toolhead.g", 'H1 C"e0heat"', 'H1 C"E0Heat"')))
    missing = ("machine.cfg", "[mcu]", "[include pins.cfg]\n[mcu]")
    assert not told(demo("section", missing, ("toolhead.cfg", "pin: PB6", "pin: FAN7")))
