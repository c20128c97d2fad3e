"""Spoil or remove any line of a reference, and something shows."""

from collections import Counter

import pytest

from pincheck import api
from pincheck.cli.main import main
from pincheck.maker.proof import proof
from pincheck.maker.reference import reference

ASSEMBLY = api.demo("marsh-230-c.toml")

UNSEEN_SO_FAR = {
    "define": {"EXTRUDERS", "PREVENT_COLD_EXTRUSION", "E0_DIR_PIN", "E0_ENABLE_PIN", "X_DIR_PIN",
               "X_ENABLE_PIN", "Y_DIR_PIN", "Y_ENABLE_PIN", "Z_DIR_PIN", "Z_ENABLE_PIN"},
    "section": {"dir_pin", "enable_pin", "pause_on_runout"},
    "gcode": set(),
}  # fmt: skip
"""What is not compared yet, by name; the table only ever shrinks."""


def named(setting):
    return (
        f"{setting.section.partition(' ')[0]} {setting.key}"
        if len(setting.key) == 1
        else (setting.key)
    )


@pytest.mark.parametrize("style", ["define", "gcode"])
def test_a_spoilt_line_shows_or_is_the_users_choice(style):
    found = proof(reference(api.load_wiring(ASSEMBLY), style), every=5)
    assert len(found.spoilt) > 30
    assert {named(one.setting) for one in found.unseen} <= UNSEEN_SO_FAR[style]
    worth = Counter(one.seen for one in found.spoilt)
    assert worth["found"] + worth["not checked"] > len(found.spoilt) / 3


def test_makers_get_the_list_and_an_exit_code(capsys, monkeypatch):
    """Of every line, each in every way: another pin for a heater is named at its line."""
    proved = []
    monkeypatch.setattr(
        "pincheck.maker.proof.proof", lambda *given: proved.append(proof(*given)) or proved[0]
    )
    assert main(["reference", "--prove", "--style", "section", "-w", str(ASSEMBLY)]) == 1
    out = capsys.readouterr().out
    assert {named(one.setting) for one in proved[0].unseen} <= UNSEEN_SO_FAR["section"]
    assert "section style: 52 settings" in " ".join(out.split())
    assert "dir_pin PB4  removed" in out
    (found,) = proved
    ways = {one.how: one.seen for one in found.spoilt if one.setting.key == "heater_pin"}
    assert ways == {"removed": "found", "another pin": "found", "inversion": "found"}
