"""`undone-later`."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.model.finding import Result, Severity

RULE = "undone-later"


@pytest.fixture
def after(tmp_path: Path):
    """Return a check of the demo with further scripts, and texts of its tool head replaced."""

    def look(*swaps: tuple[str, str], **files: str) -> Result:
        shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
        folder = tmp_path / "clean/gcode"
        path = folder / "toolhead.g"
        for old, new in swaps:
            assert old in path.read_text()
            path.write_text(path.read_text().replace(old, new))
        for name, text in files.items():
            (folder / f"{name}.g").write_text(text)
        machine = api.load_configuration(folder)
        return api.check(machine, api.load_wiring(tmp_path / "marsh-230-c.toml"))

    return look


@pytest.mark.parametrize(
    ("line", "role", "attribute"),
    [
        ("M143 H1 S400", "hotend.heater", "max_c"),
        ("M570 H1 T999", "hotend.heater", "trip_hysteresis_c"),
        ("M106 P1 H-1 S0", "hotend.fan", "watches"),
        ("M106 P1 H0", "hotend.fan", "watches"),
        ("M558 P0", "probe.signal", "probe_kind"),
        ('M308 S1 P"bedtemp" Y"thermistor"', "hotend.sensor", "pin"),
        ('M950 H1 C"e0heat" T0', "hotend.heater", "regulated_by"),
        # created afresh: the limit is the firmware's own again
        ('M950 H1 C"e0heat" T1', "hotend.heater", "max_c"),
        ("if heat.heaters[1].current > 100\n  M106 P1 H-1 S0", "hotend.fan", "watches"),
    ],
)
@pytest.mark.parametrize("script", ["homeall", "tpost0"])
def test_what_start_up_protects_is_undone(
    after, script: str, line: str, role: str, attribute: str
) -> None:
    result = after(**{script: f"{line}\n"})
    found = [f for f in result.findings if f.rule == RULE]
    (finding,) = [f for f in found if f.spots == ((role, attribute),)]
    assert finding.severity is Severity.DANGER
    assert finding.message.startswith(f"{script}.g:{line.count(chr(10)) + 1} runs after start-up")
    # start-up itself is judged as before
    assert {f.rule for f in result.findings} == {RULE}


@pytest.mark.parametrize(
    "line",
    [
        "M143 H1 S255",
        "M143 H1 S220",
        "M143 H1 S400\nM143 H1 S255",
        "M106 P1 S1 H1 T50",
        "M106 P1 S0",
        "M106 P0 S1 X0.5",
        "M906 X300",
        "M558 P9 F60",
        "if false\n  M143 H1 S400",
    ],
)
def test_near_miss_the_same_tighter_or_no_protection(after, line: str) -> None:
    assert not after(bed=f"{line}\n", daemon=f"{line}\n").findings


def test_near_miss_a_macro_that_no_event_starts_and_a_tool_that_is_not_there(after) -> None:
    assert not after(macro="M143 H1 S400\n", tpost3="M143 H1 S400\n").findings


def test_a_fan_that_always_turns_is_stopped(after) -> None:
    always = ("M106 P1 S1 H1 T50", "M106 P1 S1 H-1")
    (finding,) = after(always, tfree0="M106 P1 S0\n").findings
    assert (finding.rule, finding.spots) == (RULE, (("hotend.fan", "on_power"),))


def test_a_value_that_nobody_knows_is_not_checked(after) -> None:
    result = after(trigger2="M143 H1 S{param.S}\n")
    spot = next(v for v in result.verdicts if (v.role, v.attribute) == ("hotend.heater", "max_c"))
    assert not result.findings
    assert "trigger2.g:1 may change it later" in spot.reason


def test_start_up_that_takes_the_thermostat_away_again(after) -> None:
    watched = "M106 P1 S1 H1 T50"
    result = after((watched, f"{watched}\nM106 P1 H-1 S0"))
    assert "hotend-fan-not-thermostatic" in {finding.rule for finding in result.findings}
