"""`part-fan-not-on-command`."""

import pytest

RULE = "part-fan-not-on-command"
OWN = ("toolhead.cfg", "[fan]", "[fan_generic part]")
MACRO = "[gcode_macro m106]\ngcode:\n    SET_FAN_SPEED FAN=part SPEED=1\n"


def test_a_part_fan_under_a_name_of_its_own(demo):
    (found,) = demo("section", OWN).findings
    assert found.rule == RULE
    assert "the part fan never turns" in found.message


@pytest.mark.parametrize(
    "planted",
    [
        ("toolhead.cfg", "[fan]", f"{MACRO}[fan_generic part]"),
        ("toolhead.cfg", "[fan]", f"[fan]\npin: PB7\n{MACRO}\n[fan_generic part]"),
    ],
)
def test_near_miss_a_macro_that_takes_the_command_over(demo, planted):
    assert RULE not in {f.rule for f in demo("section", planted).findings}


def test_a_file_of_macros_that_was_not_sent_may_switch_it(demo):
    include = (
        "machine.cfg",
        "[include toolhead.cfg]",
        "[include toolhead.cfg]\n[include macros.cfg]",
    )
    result = demo("section", OWN, include)
    assert not result.findings
    (verdict,) = result.of("part.fan", "on_command")
    assert verdict.reason == "macros.cfg was not sent, and may switch it"


@pytest.mark.parametrize("head", ["heater_fan part", "heater_fan a"])
def test_a_part_fan_that_follows_the_hot_end(demo, head):
    lines = ("toolhead.cfg", "[fan]\npin: PB8\n", f"[{head}]\npin: PB8\nheater: extruder\n")
    (found,) = demo("section", lines).findings
    assert (found.rule, found.claims[0].setting.key) == (RULE, "heater")
    assert "follows the hot-end heater" in found.message


def test_scripts_accuse_the_part_fans_own_line(scripts):
    (found,) = scripts(("B0.3 H-1", "B0.3 H1 T45")).findings
    assert (found.rule, found.role, found.claims[0].setting.section) == (
        RULE,
        "part.fan",
        "M106 P0",
    )
