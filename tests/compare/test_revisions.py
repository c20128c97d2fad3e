"""Revisions side by side: the demo's one exception, and every kind of change by itself."""

import json
from collections.abc import Callable, Iterator
from functools import cache
from itertools import permutations
from pathlib import Path

import pytest
from jsonschema import ValidationError

from pincheck import api
from pincheck.cli.main import main
from pincheck.compare import revision_report as report
from pincheck.compare.boards import compare_boards
from pincheck.compare.carried import carried
from pincheck.compare.revisions import RoleChange, compare
from pincheck.compare.style_edits import StyleEdits, style_edits
from pincheck.model.setting import STYLES
from pincheck.model.wiring import Assembly
from pincheck.wiring import load_board

Wired = Callable[..., Assembly]
DEMO = ("marsh-230-b.toml", "marsh-230-c.toml", "marsh-230-curlew.toml")


@cache
def _demo(name: str) -> Assembly:
    return api.load_wiring(api.demo(name))


@cache
def _edits(before: str, after: str) -> tuple[StyleEdits, ...]:
    return tuple(style_edits(_demo(before), _demo(after)))


def _roles(before: Assembly, after: Assembly) -> dict[str, RoleChange]:
    return {change.role: change for change in compare(before, after).roles}


def test_the_demo_shows_one_exception_among_drop_ins() -> None:
    found = _roles(_demo(DEMO[0]), _demo(DEMO[1]))
    by_state = {role: change.state for role, change in found.items() if change.state != "same"}
    assert by_state == {
        "hotend.heater": "rating changed",
        "hotend.fan": "rating changed",
        "part.fan": "moved",
        "part1.fan": "gained",
    }
    assert (found["part.fan"].before, found["part.fan"].after) == ("PB7", "PB8")
    assert [str(d) for d in found["hotend.heater"].plug] == ["pitch 3.96 mm -> 5.08 mm"]
    assert "socket contact 5 A -> 10 A" in map(str, found["hotend.heater"].differences)
    assert sum(change.part_stays for change in found.values()) == 14


def test_each_style_needs_one_line_for_the_demo() -> None:
    edits = {e.style: e for e in _edits(*DEMO[:2])}
    lines = {style: [(e.place, e.before, e.after) for e in edits[style].edits] for style in STYLES}
    assert lines == {
        "define": [("", "#define FAN0_PIN PB7", "#define FAN0_PIN PB8")],
        "section": [("fan", "pin: PB7", "pin: PB8")],
        "gcode": [("M950 F0", 'C"fan1"', 'C"fan2"')],
    }
    assert not any(edit.drop_in for edit in edits.values())


def test_a_style_that_cannot_say_one_side_is_no_drop_in() -> None:
    edits = {e.style: e for e in _edits(*DEMO[1:])}
    assert "one chip only" in edits["define"].blocked
    assert not edits["define"].drop_in
    assert ("extruder", "pullup_resistor: 4700", "pullup_resistor: 2200") in [
        (e.place, e.before, e.after) for e in edits["section"].edits
    ]


@pytest.mark.parametrize("name", DEMO)
def test_an_assembly_beside_itself_is_the_same(name: str) -> None:
    revision = compare(_demo(name), _demo(name))
    assert {change.state for change in revision.roles} == {"same"}
    assert all(change.part_stays for change in revision.roles)
    assert main(["revisions", *2 * [str(api.demo(name))]]) == 0


@pytest.mark.parametrize(("one", "other"), list(permutations(DEMO, 2)))
def test_both_directions_tell_the_same_story(one: str, other: str) -> None:
    there, back = _roles(_demo(one), _demo(other)), _roles(_demo(other), _demo(one))
    turned = {"gained": "lost", "lost": "gained"}
    for role, change in there.items():
        mirror = back[role]
        assert mirror.state == turned.get(change.state, change.state)
        assert (mirror.before, mirror.after) == (change.after, change.before)
        pairs = {(d.name, d.before, d.after) for d in (*change.differences, *change.plug)}
        assert pairs == {(d.name, d.after, d.before) for d in (*mirror.differences, *mirror.plug)}


def test_the_names_of_boards_in_the_assembly_do_not_matter(rewired: Wired) -> None:
    renamed = rewired(
        ("marsh-230-c.toml", "main", "brain"), ("marsh-230-c.toml", "tool", "head"),
        ("marsh-230-c.toml", "brain.headhead", "brain.toolhead"),
    )  # fmt: skip
    assert {c.state for c in compare(_demo(DEMO[1]), renamed).roles} == {"same"}


CHANGES = {
    "switch": ("boards/heron-2.toml", "max_a = 8.0", "max_a = 6.0", "hotend.heater"),
    "pull-up": ("boards/heron-2.toml", 'chip_pin = "PC5"\npullup = { ohm = 4700',
                'chip_pin = "PC5"\npullup = { ohm = 2200', "hotend.sensor"),
    "part": ("marsh-230-c.toml", "heater-24v-40w", "heater-24v-60w", "hotend.heater"),
    "wires": ("marsh-230-c.toml", "awg = 20", "awg = 22", "hotend.heater"),
    "limit": ("marsh-230-c.toml", "max_c = 120", "max_c = 110", "bed.heater"),
    "sense resistor": ("boards/heron-2.toml", "sense_ohm = 0.11", "sense_ohm = 0.15", "x.motor"),
    "narrowest track": ("boards/lapwing-c.toml", "width_mm = 0.8", "width_mm = 0.4", "part.fan"),
}  # fmt: skip


@pytest.mark.parametrize("figure", CHANGES)
def test_one_figure_changed_is_the_one_told(rewired: Wired, figure: str) -> None:
    *replaced, role = CHANGES[figure]
    change = _roles(_demo(DEMO[1]), rewired(tuple(replaced)))[role]
    assert change.state == "rating changed"
    assert [difference.name for difference in change.differences] == [figure]


def test_a_turned_plug_is_no_drop_in(rewired: Wired) -> None:
    old = "[connectors.thermistor]\npitch_mm = 2.5\nkeyed = true\ncontact_a = 3.0\npins = "
    turned = rewired(
        ("boards/lapwing-c.toml", '["24V", "FAN_HOTEND"]', '["FAN_HOTEND", "24V"]'),
        ("boards/lapwing-c.toml", f'{old}["TH", "AGND"]', f'{old}["AGND", "TH"]'),
    )  # fmt: skip
    found = _roles(_demo(DEMO[1]), turned)
    assert [str(d) for d in found["hotend.fan"].plug] == ["pin order 24V line -> line 24V"]
    assert not found["hotend.fan"].part_stays
    assert [d.name for d in found["hotend.sensor"].plug] == ["pin order"]


def test_sockets_of_two_boards() -> None:
    boards = [load_board(api.demo("boards") / f"lapwing-{x}.toml") for x in "bc"]
    found = {change.name: change for change in compare_boards(*boards).sockets}
    assert {name: change.state for name, change in found.items()} == {
        "link": "moved",
        "heater": "rating changed",
        "thermistor": "same",
        "extruder": "same",
        "probe": "same",
        "hotend_fan": "rating changed",
        "part_fan": "moved",
        "part_fan_b": "gained",
    }
    moved = found["part_fan"]
    assert (moved.renamed, moved.before, moved.after) == (
        "part_fan_a",
        "24 V, link 8",
        "24 V, link 9",
    )


def test_a_mainboard_tells_its_stock_pins(tmp_path: Path) -> None:
    text = (api.demo("boards") / "heron-2.toml").read_text()
    (tmp_path / "heron-3.toml").write_text(text.replace('FAN_PIN = "PB7"', 'FAN_PIN = "PB8"', 1))
    boards = load_board(api.demo("boards") / "heron-2.toml"), load_board(tmp_path / "heron-3.toml")
    revision = compare_boards(*boards)
    assert [str(setting) for setting in revision.settings] == ["stock FAN_PIN PB7 -> PB8"]
    assert {change.state for change in revision.sockets} == {"same"}


def _documents() -> Iterator[dict[str, object]]:
    for one, other in (DEMO[:2], DEMO[1:], DEMO[:0:-1]):
        yield report.of_assemblies(report.revision_report(_demo(one), _demo(other)))
    boards = [load_board(api.demo("boards") / f"lapwing-{x}.toml") for x in "bc"]
    yield report.of_boards(compare_boards(*boards))


def test_documents_keep_to_the_schema(contract) -> None:
    valid = contract("revisions")
    schema = valid.schema
    assert schema["properties"]["schema_version"]["const"] == report.SCHEMA_VERSION
    for document in _documents():
        valid.validate(document)
    with pytest.raises(ValidationError):
        valid.validate({**document, "colour": "red"})


def test_the_command_in_both_forms(capsys: pytest.CaptureFixture[str]) -> None:
    paths = [str(api.demo(name)) for name in DEMO[:2]]
    assert main(["revisions", *paths]) == 1
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    assert "part.fan         moved           PB7                  PB8" in out
    assert main(["revisions", *paths, "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert [row["name"] for row in document["rows"] if row["state"] == "moved"] == ["part.fan"]
    board = str(api.demo("boards") / "lapwing-b.toml")
    assert main(["revisions", paths[0], board]) == 2
    assert "lapwing-b.toml is a board" in capsys.readouterr().err
    assert main(["revisions", board, board]) == 0


PROBE = ("boards/lapwing-c.toml", 'pins = ["GND", "5V", "SERVO"', 'pins = ["5V", "GND", "SERVO"')
FITTED = (
    "marsh-230-c.toml", 'part = "probe-servo-5v"', 'part = "probe-servo-5v"\npins = [2, 1, 3, 4, 5]'
)  # fmt: skip
TURNED = (
    "boards/lapwing-c.toml", 'pins = ["TH", "AGND"]', 'pins = ["AGND", "TH"]'
)  # fmt: skip


def test_the_worst_of_a_new_revision_comes_first(
    wiring: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """Supply and ground of the probe changed places on its socket, and its plug with them."""
    new = wiring(PROBE, FITTED) / "marsh-230-c.toml"
    assert main(["revisions", str(api.demo(DEMO[1])), str(new)]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert (
        "The worst: - part probe signal, destroys: the old plug of the probe signal fits "
        "tool.probe: the probe signal gets 4.94 V the wrong way round"
    ) in out


def test_what_may_be_either_way_round_goes_over(rewired: Wired) -> None:
    """A thermistor has no polarity: its old plug on a turned socket reads the same."""
    turned = rewired(TURNED, ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"',
                              'part = "ntc-100k-104gt-2"\npins = [2, 1]'))  # fmt: skip
    found = {it.role: it for it in carried(_demo(DEMO[1]), turned)}
    assert found["hotend.sensor"].state == "goes over"


def test_a_cable_of_the_old_revision_is_tried_on_the_new_one(rewired: Wired) -> None:
    """The new link is mirrored, and its own cable with it: the old one brings 24 V elsewhere."""
    mirrored = rewired(
        ("marsh-230-c.toml", 'wiring = "straight"', 'wiring = "mirrored"'),
    )
    (cable,) = (it for it in carried(mirrored, _demo(DEMO[1])) if it.kind == "cable")
    assert cable.state == "destroys"
    assert cable.reason.startswith("the old cable main.toolhead to tool.link fits: ")
    assert carried(_demo(DEMO[1]), _demo(DEMO[1]))[-1].state == "goes over"


def test_what_is_meant_not_to_go_over_is_listed_as_such(
    wiring: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    folder = wiring()
    roles = ("hotend.heater", "hotend.fan", "part.fan", "part1.fan")
    rows = (
        '[[consent]]\nassembly = "marsh-230-c.toml"\nwhat = "not drop-in"\n'
        f'role = "{role}"\nbecause = "room for two fans"\n'
        for role in roles
    )
    with (folder / "release.toml").open("a") as file:
        file.write("\n" + "\n".join(rows))
    paths = [str(folder / name) for name in DEMO[:2]]
    assert main(["revisions", *paths, "--markdown"]) == 0
    out = capsys.readouterr().out
    assert "## Deliberate, by the release file\n\n- hotend.heater: room for two fans\n" in out
    assert "```text\n- [fan] pin: PB7\n+ [fan] pin: PB8\n```" in out
    (folder / "release.toml").write_text(
        (folder / "release.toml").read_text().replace('role = "part.fan"', 'role = "bed.heater"')
    )
    assert main(["revisions", *paths]) == 1
