"""A reference put onto a user's files: only what must change, and nothing unsafe by itself."""

from pathlib import Path

import pytest

from pincheck import api
from pincheck.maker.onto import onto
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
