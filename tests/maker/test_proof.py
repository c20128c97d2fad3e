"""Spoil or remove any line of a reference, and something shows."""

import re
from collections import Counter

import pytest
from attrs import evolve

from pincheck import api
from pincheck.cli.main import main
from pincheck.maker import proof_text
from pincheck.maker.proof import proof
from pincheck.maker.reference import reference

ASSEMBLY = api.demo("marsh-230-c.toml")


@pytest.mark.parametrize("style", ["define", "gcode"])
def test_a_spoilt_line_shows_or_is_marked_as_the_users_choice(style):
    made = reference(api.load_wiring(ASSEMBLY), style)
    found = proof(made, every=5)
    assert len(found.spoilt) > 30
    assert not found.unseen
    worth = Counter(one.seen for one in found.spoilt)
    assert worth["found"] + worth["not checked"] > len(found.spoilt) / 3
    marked = {(line.section, line.key) for line in made.lines if line.yours}
    yours = {(one.setting.section, one.setting.key) for one in found.spoilt if one.seen == "yours"}
    assert yours <= marked


def test_what_is_the_users_choice_says_so_in_the_file():
    made = reference(api.load_wiring(ASSEMBLY), "section")
    lines = made.machine.main.text.splitlines()
    marked = {line.partition(":")[0] for line in lines if "# yours: " in line}
    assert {"dir_pin", "max_temp", "cycle_time", "pause_on_runout"} <= marked
    assert not {"heater_pin", "enable_pin", "sensor_type", "pullup_resistor", "heater"} & marked
    script = reference(api.load_wiring(ASSEMBLY), "gcode").machine.main.text
    assert "; 80% of what motor and driver bear; yours: X Y Z E\nM906 " in script


def test_makers_get_the_list_and_an_exit_code(capsys, monkeypatch):
    """Of every line, each in every way: another pin for a heater is named at its line."""
    proved = []
    monkeypatch.setattr(
        "pincheck.maker.proof.proof", lambda *given: proved.append(proof(*given)) or proved[0]
    )
    assert main(["reference", "--prove", "--style", "section", "-w", str(ASSEMBLY)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "section style: 52 settings" in out
    assert "0 UNSEEN" in out
    (found,) = proved
    ways = {
        (one.setting.key, one.how): one.seen
        for one in found.spoilt
        if one.setting.key in ("heater_pin", "dir_pin", "enable_pin")
    }
    assert ways == {
        ("heater_pin", "removed"): "found",
        ("heater_pin", "another pin"): "found",
        ("heater_pin", "inversion"): "found",
        ("dir_pin", "removed"): "found",
        ("dir_pin", "another pin"): "found",
        # which way a motor turns
        ("dir_pin", "inversion"): "yours",
        ("enable_pin", "removed"): "found",
        ("enable_pin", "another pin"): "found",
        ("enable_pin", "inversion"): "found",
    }
    missed = evolve(found, spoilt=(evolve(found.spoilt[0], seen="unseen"),))
    assert re.fullmatch(
        r"  reference.cfg:\d+  step_pin PB3  removed", list(proof_text.lines(missed))[-1]
    )
