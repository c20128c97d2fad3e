"""`command-lost`."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.model.finding import Finding, Severity

RULE = "command-lost"
HEATER = 'M950 H1 C"e0heat" T1\n'
LIMIT = "M143 H1 S255                           ; the liner is good for 260\n"


@pytest.fixture
def lost(tmp_path: Path):
    """Return a maker of what is lost in the demo with texts replaced and files added."""

    def look(*swaps: tuple[str, str], **files: str) -> list[Finding]:
        shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
        path = tmp_path / "clean/gcode/toolhead.g"
        for old, new in swaps:
            path.write_text(path.read_text().replace(old, new))
        for name, text in files.items():
            (path.parent / f"{name}.g").write_text(text)
        machine = api.load_configuration(path.parent)
        result = api.check(machine, api.load_wiring(tmp_path / "marsh-230-c.toml"))
        return [f for f in result.findings if f.rule == RULE]

    return look


def test_a_limit_before_its_heater(lost) -> None:
    (finding,) = lost((HEATER, ""), (LIMIT, LIMIT + HEATER), ("M307 H1", ";M307 H1"))
    assert finding.severity is Severity.FAULT
    assert finding.message == (
        "M143 H1 at toolhead.g:6 is lost, because only M950 H1 at toolhead.g:7 sets up what it is "
        "for: it says nothing of the highest temperature allowed of the hot-end heater."
    )
    assert finding.span
    assert finding.span.line == 6


def test_a_heater_set_up_again_forgets_its_limit(lost) -> None:
    (finding, *_) = lost((LIMIT, LIMIT + HEATER))
    assert "is forgotten, because M950 H1 at toolhead.g:8 starts afresh" in finding.message


@pytest.mark.parametrize("script", ["deployprobe", "retractprobe", "tpost0", "homeall", "start"])
def test_a_servo_that_nothing_sets_up(lost, script: str) -> None:
    (finding,) = lost(**{script: "M280 P1 S10\n"})
    assert finding.message.startswith(f"M280 P1 at {script}.g:1 is for something that no command")
    assert finding.role == "probe.servo"


def test_near_miss_the_servo_that_is_there_and_a_macro_that_nothing_calls(lost) -> None:
    assert lost(deployprobe="M280 P0 S10\n", macro="M280 P1 S10\n") == []


def test_near_miss_what_is_lost_and_said_again_holds(lost) -> None:
    assert lost((HEATER, LIMIT + HEATER)) == []


def test_near_miss_what_came_too_early_is_said_again_with_another_value(lost) -> None:
    early = "M143 H1 S240\n"
    assert lost((HEATER, early + HEATER)) == []


@pytest.mark.parametrize("again", ["M143 H1 A0\n", "if a.b\n  M143 H1 S255\n", "; M143 H1 S255\n"])
def test_what_is_not_surely_said_again_is_lost(lost, again: str) -> None:
    (finding,) = lost((HEATER, "M143 H1 S240\n" + HEATER), (LIMIT, again))
    assert finding.message.startswith("M143 H1 at toolhead.g:5 is lost")


def test_the_line_that_sets_up_once_more_is_named(lost) -> None:
    (finding, *_) = lost((LIMIT, LIMIT + HEATER))
    lines = {c.setting.span.line for c in finding.claims if c.setting}
    # toolhead.g:5 is the first M950 H1, :8 the second one
    assert 8 in lines
