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
