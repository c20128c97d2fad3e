"""Drafts: what a configuration implies, never taken for verified wiring."""

import shutil
import tomllib
from pathlib import Path

import pytest

from pincheck import api
from pincheck.analysis.pairings import home
from pincheck.maker.draft import Draft, DraftBoard, NoDraftError, draft
from pincheck.model.setting import STYLES, StyleName
from pincheck.wiring import load_board


def on_disk(name: str, folder: str = "") -> DraftBoard:
    return DraftBoard(load_board(api.demo("boards") / name), f"{folder}{name}")


def _draft(style: StyleName) -> Draft:
    machine = api.load_configuration(api.demo("clean") / style)
    return draft(machine, on_disk("heron-2.toml", "boards/"))


@pytest.mark.parametrize("style", STYLES)
def test_every_claimed_pin_is_where_the_draft_puts_its_part(style: StyleName) -> None:
    """Traced again, each drafted part hangs on the pin that the configuration claims."""
    made = _draft(style)
    machine = api.load_configuration(api.demo("clean") / style)
    claims, _ = api.claims(machine, made.assembly)
    wired = {w.role: home(w) for w in api.trace(made.assembly).wired}
    claimed = {c.role: c.value.place for c in claims.all if c.attribute == "pin"}  # type: ignore[union-attr]
    assert made.left_out == ()
    assert wired == {role: place for role, place in claimed.items() if place}
    assert len(wired) >= 11


@pytest.mark.parametrize("style", STYLES)
def test_every_table_is_marked_and_no_check_agrees(style: StyleName) -> None:
    made = _draft(style)
    tables = tomllib.loads(made.text)
    marked = [*tables["fit"].values(), *tables["limits"].values()]
    assert all(table["unverified"] is True for table in marked)
    assert len(made.assembly.unverified) == len(marked)
    machine = api.load_configuration(api.demo("clean") / style)
    result = api.check(machine, made.assembly)
    assert result.tally("agrees") == 0
    assert any("draft" in verdict.reason for verdict in result.verdicts)


def test_marks_taken_out_one_by_one_let_their_part_agree(tmp_path: Path) -> None:
    shutil.copytree(api.demo("boards"), tmp_path / "boards")
    before, table, after = _draft("section").text.partition("[fit.part_fan]\n")
    text = before + table + after.replace("unverified = true\n", "", 1)
    (tmp_path / "mine.toml").write_text(text)
    machine = api.load_configuration(api.demo("clean") / "section")
    result = api.check(machine, api.load_wiring(tmp_path / "mine.toml"))
    states = {(v.role, v.attribute): v.state for v in result.verdicts}
    assert states["part.fan", "pin"] == "agrees"
    assert states["hotend.fan", "pin"] == "not checked"


def test_a_pin_that_the_board_lacks_is_left_out_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "machine.cfg").write_text(
        "[printer]\n[fan]\npin: PB8\n[heater_fan hotend_fan]\npin: PD9\n[bltouch]\nsensor_pin: X\n"
    )
    machine = api.load_configuration(tmp_path)
    made = draft(machine, on_disk("heron-2.toml"))
    left_out = dict(made.left_out)
    assert set(left_out) == {"hotend.fan", "probe.signal"}
    assert left_out["hotend.fan"] == "Heron 2 has no socket with PD9 for fan-24v-0a1"
    assert "'X'" in left_out["probe.signal"]


def test_a_ribbon_with_no_supply_left_asks_for_its_breakout(tmp_path: Path) -> None:
    """Five parts on a ribbon with one supply pin: the first gets it, the next one says why not."""
    (tmp_path / "board.toml").write_text(
        '[board]\nname = "Rail"\nchip = "stm32f401rct6"\nsupply_v = 24.0\n'
        '[nets.A]\nchip_pin = "PB8"\n[nets.B]\nchip_pin = "PB7"\n'
        '[connectors.ribbon]\npins = ["24V", "A", "B"]\n'
    )
    (tmp_path / "machine.cfg").write_text(
        "[printer]\n[fan]\npin: PB8\n[heater_fan hotend_fan]\npin: PB7\n"
    )
    made = draft(
        api.load_configuration(tmp_path),
        DraftBoard(load_board(tmp_path / "board.toml"), "board.toml"),
    )
    ((role, reason),) = made.left_out
    assert role == "part.fan"
    assert reason.startswith("ribbon of Rail carries PB8, but has no pins left for all of fan-")


def test_a_board_without_a_chip_is_refused() -> None:
    machine = api.load_configuration(api.demo("clean") / "section")
    with pytest.raises(NoDraftError, match="Lapwing C has no chip"):
        draft(machine, on_disk("lapwing-c.toml"))


def test_hostile_text_of_a_configuration_stays_in_its_comment(tmp_path: Path) -> None:
    """A line of the user's is quoted in a comment: it can neither end it nor reach a terminal."""
    (tmp_path / "machine.cfg").write_text("[printer]\n[fan]\npin: PB8 # \x1b[2J\r[boards]\n")
    machine = api.load_configuration(tmp_path)
    made = draft(machine, on_disk("heron-2.toml"))
    assert "\x1b" not in made.text
    assert "\r" not in made.text
    assert set(tomllib.loads(made.text)["boards"]) == {"main"}


@pytest.mark.parametrize("style", STYLES)
def test_a_breakout_gets_its_parts_as_the_demo_has_them(style: StyleName) -> None:
    """From the clean configuration the demo's own copper comes out, fit by fit."""
    machine = api.load_configuration(api.demo("clean") / style)
    boards = on_disk("heron-2.toml", "boards/"), on_disk("lapwing-c.toml", "boards/")
    made = draft(machine, *boards)
    assert made.left_out == ()
    demo = api.trace(api.load_wiring(api.demo("marsh-230-c.toml")))
    for wired in api.trace(made.assembly).wired:
        known = demo.find(wired.role)
        assert known is not None
        assert wired.path.line().rpartition(" -> ")[0] == known.path.line().rpartition(" -> ")[0]
    assert any(fit.connector and fit.connector[0] == "tool" for fit in made.assembly.fits)
    assert api.check(machine, made.assembly).tally("agrees") == 0


def test_what_the_new_breakout_has_no_socket_for_is_told_and_stays_unknown() -> None:
    """Revision C moved the part fan away from PB8's wire: the configuration for B shows it."""
    machine = api.load_configuration(api.demo("reference/marsh-230-b") / "section")
    boards = on_disk("heron-2.toml", "boards/"), on_disk("lapwing-c.toml", "boards/")
    made = draft(machine, *boards)
    assert [role for role, _ in made.left_out] == ["part.fan"]
    assert made.assembly.unknown == ("part.fan",)
    assert not [it for it in api.check(machine, made.assembly).findings if "part.fan" in it.roles]


def test_a_breakout_that_no_socket_takes_is_refused() -> None:
    machine = api.load_configuration(api.demo("clean") / "section")
    with pytest.raises(NoDraftError, match="no socket of Heron 2 has"):
        draft(machine, on_disk("heron-2.toml"), on_disk("curlew-1.toml"))
