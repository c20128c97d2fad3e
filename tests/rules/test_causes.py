"""Two findings of one cause are one: the cause first, what follows from it beneath."""

import shutil

import pytest

from pincheck import api
from pincheck.model.finding import Severity
from pincheck.reports import json, text
from pincheck.rules.registry import rules


def twelve_volts(tmp_path):
    folder = shutil.copytree(api.demo(""), tmp_path / "configs")
    file = folder / "marsh-230-c.toml"
    wiring = file.read_text(encoding="utf-8").replace("heater-24v-40w", "heater-12v-40w")
    file.write_text(wiring, encoding="utf-8")
    machine = api.load_configuration(folder / "clean/section")
    return api.check(machine, api.load_wiring(file))


def test_a_heater_for_12_v_on_24_v_is_one_finding(tmp_path):
    """160 W instead of 40 W: 6.7 A through a switch and a supply for less, too hot too soon."""
    result = twelve_volts(tmp_path)
    assert [finding.rule for finding in result.findings] == ["heater-voltage-differs"]
    cause = result.findings[0]
    assert cause.severity is Severity.DANGER
    follows = {effect.rule for effect in cause.effects}
    assert follows >= {"power-over-switch", "supply-overloaded", "sensor-out-at-warm-up"}
    said = "\n".join(text.text(result))
    assert said.count("  so  ") == len(cause.effects)
    assert said.index("12 V element on 24 V") < said.index("(supply-overloaded)")
    record = json.record(result)
    assert {effect["rule"] for effect in record["findings"][0]["effects"]} == follows


def test_what_follows_still_counts_against_its_own_spot(tmp_path):
    result = twelve_volts(tmp_path)
    for effect in result.findings[0].effects:
        for role, attribute in effect.spots:
            assert next(result.of(role, attribute)).state == "contradicts"


@pytest.mark.parametrize("rule", [rule for rule in rules() if rule.causes], ids=lambda it: it.id)
def test_a_cause_names_rules_that_there_are(rule):
    assert set(rule.causes) <= {it.id for it in rules()} - {rule.id}
