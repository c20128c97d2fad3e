"""A reference put onto a user's files: only what must change, and nothing unsafe by itself."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.batch import reply
from pincheck.edits.patch import diff
from pincheck.maker.onto import onto
from pincheck.maker.reference import reference
from pincheck.model.setting import STYLES, StyleName


@pytest.mark.parametrize("style", STYLES)
def test_a_configuration_that_agrees_stays_as_it_is(style: StyleName) -> None:
    machine = api.load_configuration(api.demo("clean") / style)
    made = onto(machine, api.load_wiring(api.demo("marsh-230-c.toml")))
    assert made.trial.machine.sources == machine.sources
    assert made.trial.result.findings == ()


@pytest.mark.parametrize("style", STYLES)
def test_a_swapped_board_changes_the_part_fan_and_nothing_else(style: StyleName) -> None:
    """The demo's clean files fit revision C; on B the one exception is the part fan."""
    machine = api.load_configuration(api.demo("clean") / style)
    made = onto(machine, api.load_wiring(api.demo("marsh-230-b.toml")))
    assert made.trial.result.findings == ()
    old, new = machine.sources, made.trial.machine.sources
    changed = [
        (before, after)
        for one, other in zip(old, new, strict=True)
        for before, after in zip(one.text.split("\n"), other.text.split("\n"), strict=True)
        if before != after
    ]
    assert len(changed) == 1
    assert "PB7" in changed[0][1] or "fan1" in changed[0][1]


def test_nothing_is_written(tmp_path: Path) -> None:
    file = tmp_path / "machine.cfg"
    file.write_text("[printer]\n[fan]\npin: PB7\n")
    onto(api.load_configuration(file), api.load_wiring(api.demo("marsh-230-c.toml")))
    assert file.read_text() == "[printer]\n[fan]\npin: PB7\n"


@pytest.mark.parametrize(("style", "file", "old", "new"), [
    ("section", "toolhead.cfg", "max_temp: 255", "max_temp: 285"),
    ("define", "machine.h", "HEATER_0_MAXTEMP 270", "HEATER_0_MAXTEMP 300"),
    ("gcode", "toolhead.g", "M143 H1 S255", "M143 H1 S285"),
])  # fmt: skip
def test_one_limit_everywhere(
    tmp_path: Path, style: StyleName, file: str, old: str, new: str
) -> None:
    """What a reference sets is what an edit, a reply and a reference put onto files come to."""
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    mine = shutil.copytree(api.demo("clean") / style, tmp_path / style)
    text = (mine / file).read_text()
    assert old in text
    (mine / file).write_text(text.replace(old, new))
    machine = api.load_configuration(mine)
    result = api.check(machine, assembly)
    (proposal,) = (it for it in api.propose(result) if it.finding.rule == "heater-limit-too-high")
    wanted = reference(assembly, style).result.claims.find("hotend.heater", "max_c")
    assert wanted
    (change,) = proposal.finding.changes
    assert change.value == wanted.value
    put = onto(machine, assembly).trial.result.claims.find("hotend.heater", "max_c")
    assert put
    assert put.value == wanted.value
    edited = api.try_edits(machine, assembly, (proposal,)).machine.sources
    told = "\n".join(reply.lines(result, (proposal,), (proposal,), diff(machine.sources, edited)))
    assert any(line.startswith("+") and old in line for line in told.splitlines())
