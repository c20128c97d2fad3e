"""`undone-later`."""

import pytest

from pincheck.model.finding import Severity

RULE = "undone-later"


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
    scripts, script: str, line: str, role: str, attribute: str
) -> None:
    result = scripts(**{script: f"{line}\n"})
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
def test_near_miss_the_same_tighter_or_no_protection(scripts, line: str) -> None:
    assert not scripts(bed=f"{line}\n", daemon=f"{line}\n").findings


def test_near_miss_a_macro_that_no_event_starts_and_a_tool_that_is_not_there(scripts) -> None:
    assert not scripts(macro="M143 H1 S400\n", tpost3="M143 H1 S400\n").findings


def test_a_fan_that_always_turns_is_stopped(scripts) -> None:
    always = ("M106 P1 S1 H1 T50", "M106 P1 S1 H-1")
    (finding,) = scripts(always, tfree0="M106 P1 S0\n").findings
    assert (finding.rule, finding.spots) == (RULE, (("hotend.fan", "on_power"),))


def test_a_value_that_nobody_knows_is_not_checked(scripts) -> None:
    result = scripts(trigger2="M143 H1 S{param.S}\n")
    spot = next(v for v in result.verdicts if (v.role, v.attribute) == ("hotend.heater", "max_c"))
    assert not result.findings
    assert "trigger2.g:1 may change it later" in spot.reason


def test_start_up_that_takes_the_thermostat_away_again(scripts) -> None:
    watched = "M106 P1 S1 H1 T50"
    result = scripts((watched, f"{watched}\nM106 P1 H-1 S0"))
    assert "hotend-fan-not-thermostatic" in {finding.rule for finding in result.findings}
