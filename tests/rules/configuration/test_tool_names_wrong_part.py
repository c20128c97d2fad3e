"""`tool-names-wrong-part`."""

import pytest

from pincheck.model.finding import Severity

RULE = "tool-names-wrong-part"
TOOL = "M563 P0 D0 H1 F0"


@pytest.mark.parametrize(
    ("tool", "role", "severity", "told"),
    [
        ("M563 P0 D0 H0 F0", "hotend.heater", Severity.DANGER, "sets the bed heater instead"),
        ("M563 P0 D0 F0", "hotend.heater", Severity.FAULT, "reaches no heater that is set up"),
        ("M563 P0 D0 H7 F0", "hotend.heater", Severity.FAULT, "reaches no heater that is set up"),
        ("M563 P0 D0 H1 F1", "part.fan", Severity.FAULT, "drives the hot-end fan instead"),
        ("M563 P0 D0 H1 F-1", "part.fan", Severity.FAULT, "reaches no fan that is set up"),
    ],
)
def test_the_tool_is_accused_and_no_heater_or_fan(scripts, tool, role, severity, told) -> None:
    (finding,) = scripts((TOOL, tool)).findings
    assert (finding.rule, finding.role, finding.severity) == (RULE, role, severity)
    assert told in finding.message
    assert {c.setting.section for c in finding.claims if c.setting} == {"M563 P0"}


def test_without_f_the_first_fan_is_the_tools(scripts) -> None:
    fans = (("M950 F0", "M950 F9"), ("M106 P0", "M106 P9"), ("M950 F1", "M950 F0"),
            ("M106 P1", "M106 P0"), ("M950 F9", "M950 F1"), ("M106 P9", "M106 P1"))  # fmt: skip
    assert not scripts(*fans, (TOOL, "M563 P0 D0 H1 F1")).findings
    (finding,) = scripts(*fans, (TOOL, "M563 P0 D0 H1")).findings
    assert finding.message.startswith("no F in M563 P0: the command for the part fan drives the ho")


@pytest.mark.parametrize("tool", ["M563 P0 D0 H1", "M563 P0 D0 H1 F0:1", 'M563 P0 S"Pen"'])
def test_near_miss_the_default_a_fan_more_and_a_tool_that_heats_nothing(scripts, tool) -> None:
    extra = "" if "D0" in tool else "\nM563 P1 D0 H1 F0"
    assert RULE not in {f.rule for f in scripts((TOOL, tool + extra)).findings}


def test_in_older_scripts_the_beds_sensor_is_left_alone(scripts) -> None:
    older = "M305 P0 B3950\nM305 P1 B4725\nM106 P1 H1 T50\nM563 P0 D0 H0\nM584 X0 Y1 Z2 E3\n"
    (finding,) = [f for f in scripts(config=older).findings if f.rule == RULE]
    assert (finding.role, finding.severity) == ("hotend.heater", Severity.DANGER)


TWO = (
    ("M950 H1", 'M308 S2 P"bedtemp" Y"pt1000"\nM950 H2 C"fan1" T2\nM950 H1'),
    ("M906 X1270 Y1270 Z1130 E990", "M906 X1270 Y1270 Z1130 E990:990"),
)


@pytest.mark.parametrize(
    ("second", "state", "reason"),
    [
        ("M563 P1 D0 H2 F0", "not checked", "the wiring describes no such motor"),
        ("M563 P1 D1 H2 F0", None, ""),
    ],
)
def test_a_second_tools_drive(scripts, second, state, reason) -> None:
    result = scripts(*TWO, (TOOL, f"{TOOL}\n{second}"))
    spot = ("extruder1.motor", "driven_by_tool")
    found = [(v.state, v.reason) for v in result.verdicts if (v.role, v.attribute) == spot]
    assert found == ([(state, reason)] if state else [])


@pytest.mark.parametrize(
    ("command", "told"),
    [
        ("M140 P0 H3", "reaches no heater that is set up"),
        ("M140 H-1", "reaches no heater that is set up"),
        ("M140 H1", "sets the hot-end heater instead of the bed heater"),
    ],
)
def test_the_command_of_the_bed_names_another_heater(scripts, command, told) -> None:
    (finding,) = scripts(("M140 H0", command)).findings
    assert (finding.rule, finding.role, finding.severity) == (RULE, "bed.heater", Severity.FAULT)
    assert told in finding.message


@pytest.mark.parametrize("command", [";M140 H0", "M140"])
def test_a_bed_that_no_command_names_is_not_checked(scripts, command) -> None:
    result = scripts(("M140 H0", command))
    assert not result.findings
    spot = ("bed.heater", "heated_by_command")
    (verdict,) = [v for v in result.verdicts if (v.role, v.attribute) == spot]
    assert verdict.state == "not checked"


def test_without_any_tool_no_hot_end_can_be_used(scripts) -> None:
    (finding,) = [f for f in scripts((TOOL, f";{TOOL}")).findings if f.rule == RULE]
    assert (finding.role, finding.severity) == ("hotend.heater", Severity.FAULT)
    assert "No tool is made with the hot-end heater" in finding.message


def test_near_miss_the_tool_may_be_made_in_a_file_that_was_not_sent(scripts) -> None:
    result = scripts((TOOL, 'M98 P"tools.g"'))
    assert RULE not in {f.rule for f in result.findings}


def test_waiting_for_a_bed_makes_its_heater_one_too(scripts):
    (found,) = scripts(("M140 H0\n", "M190 H1\n")).findings
    assert (found.rule, found.claims[0].setting.section) == ("tool-names-wrong-part", "M190 H1")
    assert not scripts(("M140 H0\n", "M190 H0\n")).findings
    lost = scripts(("M570 H0 P10", "M190 H0\nM570 H0 P10"))
    assert {f.rule for f in lost.findings} == {"heater-limit-too-high", "command-lost"}
