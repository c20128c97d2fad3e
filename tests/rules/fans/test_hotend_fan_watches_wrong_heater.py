"""`hotend-fan-watches-wrong-heater`."""

import pytest

from pincheck.model.claim import Claim
from pincheck.model.finding import Severity

RULE = "hotend-fan-watches-wrong-heater"


def test_a_fan_that_follows_the_bed(machine, ask):
    found = ask(RULE, machine({("hotend.fan", "watches"): "bed.heater"})).finding
    assert "starts with the bed heater, not with the hot-end heater" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("watches", "hotend.heater")]


def test_near_miss_watching_the_hot_ends_sensor_is_as_good(machine, ask):
    asked = ask(RULE, machine({("hotend.fan", "watches"): "hotend.sensor"}))
    assert not asked.findings
    assert ("hotend.fan", "watches") in asked.agreed


def test_quiet_on_the_clean_machine(machine, ask):
    assert ask(RULE, machine()).agreed == {("hotend.fan", "watches")}


def _pair(machine, *watched):
    """Return the machine with a second hot-end fan on the first one's switch."""
    claims = {("hotend.fan", f"watches {at}"): Claim("hotend.fan", "watches", heater)
              for at, heater in enumerate(watched)}  # fmt: skip
    second = '[fit.second_fan]\nrole = "hotend1.fan"\nat = "tool.spare"\npart = "fan-24v-0a1"\n\n'
    fan = "[connectors.hotend_fan]"
    wiring = [
        ("marsh-230-c.toml", "[fit.bed_heater]", f"{second}[fit.bed_heater]"),
        (
            "boards/lapwing-c.toml",
            fan,
            f'[connectors.spare]\npins = ["24V", "FAN_HOTEND"]\n\n{fan}',
        ),
    ]
    return machine({("hotend.fan", "watches"): None, **claims}, wiring=wiring)


def test_a_fan_that_shares_a_switch_needs_its_own_hot_end_watched_too(machine, ask):
    found = ask(RULE, _pair(machine, "hotend.heater")).finding
    assert found.message.startswith("The second hot-end fan starts with the hot-end heater, not ")


def test_quiet_where_the_switch_follows_both_hot_ends(machine, ask):
    assert not ask(RULE, _pair(machine, "hotend.heater", "hotend1.heater")).findings


NOWHERE = [
    ("section", ("toolhead.cfg", "heater: extruder", "heater: nowhere"), "'nowhere'"),
    ("gcode", ("toolhead.g", "M106 P1 S1 H1 T50", "M106 P1 S1 H906 T50"), "'906'"),
]


@pytest.mark.parametrize(("style", "swap", "named"), NOWHERE)
def test_a_fan_that_waits_for_what_nothing_sets_up(demo, style, swap, named):
    (found,) = [f for f in demo(style, swap).findings if f.rule == RULE]
    assert found.severity is Severity.DANGER
    assert f"watches {named}, and no heater or sensor of that name" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("watches", "hotend.heater")]


def test_near_miss_a_file_that_was_not_sent_may_set_it_up(demo):
    included = "[include more.cfg]\n[heater_fan hotend_fan]"
    swaps = (("toolhead.cfg", "[heater_fan hotend_fan]", included),
             ("toolhead.cfg", "heater: extruder", "heater: nowhere"))  # fmt: skip
    assert not [f for f in demo("section", *swaps).findings if f.rule == RULE]
