"""`hotend-fan-not-thermostatic`."""

import pytest

from pincheck.model.claim import Doubt, PinValue

GONE = {("hotend.fan", "watches"): None, ("hotend.fan", "threshold_c"): None}


def test_a_hot_end_fan_that_only_obeys_commands(machine, ask):
    found = ask("hotend-fan-not-thermostatic", machine(GONE)).finding
    assert found.message.startswith("The hot-end fan watches no heater")
    assert [(c.attribute, c.value) for c in found.changes] == [
        ("watches", "hotend.heater"),
        ("threshold_c", 50.0),
    ]


def test_a_fan_that_the_start_up_script_leaves_off(machine, ask):
    found = ask(
        "hotend-fan-not-thermostatic", machine({**GONE, ("hotend.fan", "on_power"): 0.0})
    ).finding
    assert [(c.attribute, c.value) for c in found.changes][-1] == ("on_power", 1.0)


def test_near_miss_a_fan_that_always_turns(machine, ask):
    asked = ask("hotend-fan-not-thermostatic", machine({**GONE, ("hotend.fan", "on_power"): 1.0}))
    assert not asked.findings
    assert asked.agreed == {("hotend.fan", "watches")}


def test_a_spare_output_on_the_hot_end_fans_pin(machine, ask, pin):
    spots = {**GONE, ("hotend.fan", "pin"): None, ("aux.fan", "pin"): pin("PB6")}
    assert ask("hotend-fan-not-thermostatic", machine(spots)).finding.role == "hotend.fan"
    watching = {**spots, ("aux.fan", "watches"): "hotend.heater"}
    assert not ask("hotend-fan-not-thermostatic", machine(watching)).findings


def test_near_miss_a_fan_that_is_not_configured_has_its_own_rule(machine, ask):
    off = {**GONE, ("hotend.fan", "pin"): PinValue("-1", absent=True)}
    assert not ask("hotend-fan-not-thermostatic", machine(off)).findings


def test_quiet_on_the_clean_machine_and_without_certainty(machine, ask):
    assert not ask("hotend-fan-not-thermostatic", machine()).findings
    doubts = (Doubt("a file was not sent", "hotend.fan", "watches"),)
    assert not ask("hotend-fan-not-thermostatic", machine(GONE, doubts=doubts)).findings


def test_a_board_fan_stops_while_the_hot_end_is_hot(machine, ask, pin):
    claims = {("hotend.fan", "pin"): None, ("hotend.fan", "watches"): None}
    asked = ask(
        "hotend-fan-not-thermostatic", machine({**claims, ("controller.fan", "pin"): pin("PB6")})
    )
    assert "driven as a board fan: it stops half a minute after" in asked.finding.message
    elsewhere = machine({**claims, ("controller.fan", "pin"): pin("PB7")})
    assert not ask("hotend-fan-not-thermostatic", elsewhere).findings


SECTION = "[heater_fan hotend_fan]\npin: PB6\nheater: extruder\nheater_temp: 50.0\nfan_speed: 1.0\n"


@pytest.mark.parametrize(
    ("instead", "told"),
    [
        ("[output_pin cold_end]\npin: PB6\n", True),
        ("[output_pin cold_end]\npin: PB6\nvalue: 0\n", True),
        ("[output_pin cold_end]\npin: PB6\nvalue: 1\n", False),
        ("[static_digital_output cold_end]\npins: PB6\n", False),
    ],
)
def test_a_plain_output_on_the_hot_end_fans_pin_counts_only_where_it_is_on(demo, instead, told):
    result = demo("section", ("toolhead.cfg", SECTION, instead))
    found = [f.message for f in result.findings]
    assert ["is set up as a plain output" in message for message in found] == [True] * told
    assert not result.unjudged
