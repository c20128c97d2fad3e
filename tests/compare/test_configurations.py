"""Configurations side by side: every move between styles, and nothing claimed without knowing."""

import json
import shutil
from itertools import permutations
from pathlib import Path

import pytest
from jsonschema import ValidationError

from pincheck import api
from pincheck.cli.main import main
from pincheck.compare.configurations import Comparison, Side, compare_configurations
from pincheck.compare.difference import ClaimChange
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.wiring import Assembly
from pincheck.wiring import load_board

Spot = tuple[str, str]
MINE = ("pin", "max_c", "table", "threshold_c", "watches", "inverted", "pull", "probe_kind")


def _board() -> Assembly:
    return Assembly("", {"main": load_board(api.demo("boards") / "heron-2.toml")})


def _side(path: Path, assembly: Assembly | None = None) -> Side:
    machine = api.load_configuration(path)
    claims, _ = api.claims(machine, assembly)
    return Side(path.name, claims, api.load_words(machine.style), assembly is not None)


def _compare(one: Path, other: Path, *, board: bool = False) -> Comparison:
    assembly = _board() if board else None
    return compare_configurations(_side(one, assembly), _side(other, assembly))


def _spots(comparison: Comparison) -> dict[Spot, ClaimChange]:
    return {(change.role, change.attribute): change for change in comparison.changes}


@pytest.fixture
def edited(tmp_path: Path) -> Path:
    """A copy of the demo's clean section files, to be edited."""
    return shutil.copytree(api.demo("clean") / "section", tmp_path / "mine")


def _replace(folder: Path, old: str, new: str) -> None:
    for file in folder.iterdir():
        file.write_text(file.read_text().replace(old, new))


@pytest.mark.parametrize(("one", "other"), list(permutations(STYLES, 2)))
def test_a_move_between_styles_keeps_every_pin_limit_and_table(
    one: StyleName, other: StyleName
) -> None:
    """The demo's three clean configurations are one machine: with its board known they agree."""
    clean = api.demo("clean")
    for spot, change in _spots(_compare(clean / one, clean / other, board=True)).items():
        if spot[1] in MINE and not spot[0].endswith("motor") and spot[0] != "board.sensor":
            assert change.state == "same", (spot, change.note)
        if spot[1] in ("protection_kind", "trip_period_s", "model_rate_k_s"):
            assert (change.state, change.by_style) == ("not comparable", True)


@pytest.mark.parametrize(("one", "other"), list(permutations(STYLES, 2)))
def test_swapping_the_sides_turns_every_state_round(one: StyleName, other: StyleName) -> None:
    clean = api.demo("clean")
    there, back = (
        _spots(_compare(clean / a, clean / b, board=True)) for a, b in ((one, other), (other, one))
    )
    turned = {"only before": "only after", "only after": "only before"}
    assert there.keys() == back.keys()
    for spot, change in there.items():
        assert back[spot].state == turned.get(change.state, change.state), spot
        assert (back[spot].before, back[spot].after) == (change.after, change.before)


@pytest.mark.parametrize("board", [True, False])
@pytest.mark.parametrize("style", STYLES)
def test_a_configuration_beside_itself_is_the_same(style: StyleName, board: bool) -> None:
    path = api.demo("clean") / style
    assert {c.state for c in _compare(path, path, board=board).changes} == {"same"}


@pytest.mark.parametrize(
    ("old", "new", "spot", "state", "note"),
    [
        ("pin: PB8", "pin: PB7", ("part.fan", "pin"), "changed", ""),
        ("max_temp: 255", "max_temp: 285", ("hotend.heater", "max_c"), "changed", ""),
        ("ATC Semitec 104GT-2", "EPCOS 100K B57560G104F", ("hotend.sensor", "table"), "changed",
         "reads 16 K hotter"),
        ("Generic 3950", "NTC 100K beta 3950", ("bed.sensor", "table"), "same", ""),
        ("cycle_time: 0.010", "cycle_time: .01", ("part.fan", "pwm_hz"), "same", ""),
        ("heater_temp: 50.0", "heater_temp: 60", ("hotend.fan", "threshold_c"), "changed", ""),
        ("^PB1", "!PB1", ("probe.signal", "pull"), "changed", ""),
        ("^PB1", "!PB1", ("probe.signal", "inverted"), "changed", ""),
    ],
)  # fmt: skip
def test_what_was_changed_is_what_is_told(
    edited: Path, old: str, new: str, spot: Spot, state: str, note: str
) -> None:
    _replace(edited, old, new)
    found = _spots(_compare(api.demo("clean") / "section", edited))
    assert found[spot].state == state
    assert note in found[spot].note
    role = spot[0]
    assert all(c.state == "same" for c in found.values() if c.role != role)


def test_a_role_that_went_is_told_once(edited: Path) -> None:
    text = (edited / "toolhead.cfg").read_text()
    start, end = text.index("[fan]"), text.index("[heater_fan")
    (edited / "toolhead.cfg").write_text(text[:start] + text[end:])
    comparison = _compare(api.demo("clean") / "section", edited)
    told = [(c.role, c.attribute, c.state) for c in comparison.changes if c.state != "same"]
    assert told == [("part.fan", "pin", "only before")]


def test_names_that_only_a_board_explains_are_not_compared() -> None:
    clean = api.demo("clean")
    found = _spots(_compare(clean / "section", clean / "gcode"))
    assert found["hotend.heater", "pin"].state == "not comparable"
    assert "'e0heat'" in found["hotend.heater", "pin"].note
    assert found["hotend.heater", "max_c"].state == "same"


def test_stock_pins_are_not_taken_for_missing() -> None:
    clean = api.demo("clean")
    found = _spots(_compare(clean / "section", clean / "define"))
    assert found["hotend.heater", "pin"].state == "not comparable"
    assert "--board" in found["hotend.heater", "pin"].note
    assert found["part.fan", "pin"].state == "same"


def test_limits_are_compared_less_the_margin_of_their_style() -> None:
    clean = api.demo("clean")
    change = _spots(_compare(clean / "define", clean / "section"))["hotend.heater", "max_c"]
    assert (change.state, change.before, change.after) == ("same", "270 C - 15", "255 C")


def test_what_holds_only_under_a_condition_is_not_compared() -> None:
    clean = api.demo("clean")
    found = _spots(_compare(clean / "define", clean / "section"))
    changes = [c for c in found.values() if c.first and c.first.doubt]
    assert all(c.state == "not comparable" and c.note for c in changes)


def test_documents_keep_to_the_schema(capsys: pytest.CaptureFixture[str], contract) -> None:
    valid = contract("configurations")
    clean = api.demo("clean")
    paths = [str(clean / "section"), str(clean / "gcode")]
    assert main(["configurations", *paths, "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    valid.validate(document)
    assert sum(document["counts"].values()) == len(document["changes"])
    with pytest.raises(ValidationError):
        valid.validate({**document, "colour": "red"})


def test_the_command_tells_same_from_different_from_incomparable(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    section = str(api.demo("clean") / "section")
    assert main(["configurations", section, section]) == 0
    assert main(["configurations", section, str(api.demo("clean") / "gcode")]) == 1
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    (tmp_path / "a.g").write_text('M950 F0 C"fan0" Q100\nM563 P0 F0\n')
    (tmp_path / "b.cfg").write_text("[printer]\n[fan]\npin: PB7\n")
    code = main(["configurations", str(tmp_path / "a.g"), str(tmp_path / "b.cfg")])
    assert code == 2
    assert "no wiring explains the pin 'fan0'" in capsys.readouterr().out
    (tmp_path / "empty").mkdir()
    assert main(["configurations", section, str(tmp_path / "empty")]) == 2
