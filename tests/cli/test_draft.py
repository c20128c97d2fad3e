"""`draft` as a command: printed or written once, never over a file, next to its board."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main

CLEAN = str(api.demo("clean") / "section")


@pytest.fixture
def board(tmp_path: Path) -> Path:
    """The demo's mainboard in a folder of the user's."""
    (tmp_path / "boards").mkdir()
    return Path(shutil.copy(api.demo("boards") / "heron-2.toml", tmp_path / "boards"))


def test_a_written_draft_loads_beside_its_board(
    board: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = board.parent.parent / "mine.toml"
    call = ["draft", CLEAN, "--board", str(board), "--into", str(file)]
    assert main(call) == 0
    assert 'main = "boards/heron-2.toml"' in file.read_text()
    assert main(["trace", "--wiring", str(file)]) == 0
    capsys.readouterr()
    assert main(["check", CLEAN, "--wiring", str(file)]) == 2
    assert "Nothing could be compared" in capsys.readouterr().out
    file.write_text("mine\n")
    assert main(call) == 2
    assert file.read_text() == "mine\n"


def test_what_could_not_be_drafted_ends_with_1(
    board: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "my.cfg").write_text("[printer]\n[fan]\npin: PB8\n[heater_fan hotend]\npin: PD9\n")
    assert main(["draft", str(tmp_path / "my.cfg"), "--board", str(board)]) == 1
    streams = capsys.readouterr()
    assert "[fit.part_fan]" in streams.out
    assert "not drafted: hotend.fan: " in streams.err


def test_a_draft_outside_the_folder_of_its_board_is_refused(
    board: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    call = ["draft", CLEAN, "--board", str(board), "--into", str(elsewhere / "mine.toml")]
    assert main(call) == 2
    assert "folder of its board" in capsys.readouterr().err
    assert list(elsewhere.iterdir()) == []


def test_without_a_board_a_skeleton_is_made_and_nothing_agrees_with_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "boards").mkdir()
    file = tmp_path / "mine.toml"
    assert main(["draft", CLEAN, "--chip", "stm32f401rct6", "--into", str(file)]) == 0
    board = (tmp_path / "boards/mainboard.toml").read_text()
    assert 'chip_pin = "PC8"' in board
    assert main(["check", CLEAN, "--wiring", str(file)]) == 2
    assert "Nothing could be compared" in capsys.readouterr().out
    file.write_text(file.read_text().replace("unverified = true\n", ""))
    assert main(["check", CLEAN, "--wiring", str(file)]) == 3


def test_a_skeleton_lists_the_names_that_only_the_board_can_explain(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["draft", str(api.demo("clean") / "gcode")]) in (1, 2)
    said = capsys.readouterr()
    assert '# e0heat = "..."  # hotend.heater' in said.out
    assert "no pin 'e0heat'" in " ".join(said.err.split())


def test_behind_a_breakout_the_mainboard_has_to_be_known(
    capsys: pytest.CaptureFixture[str],
) -> None:
    breakout = str(api.demo("boards") / "lapwing-c.toml")
    assert main(["draft", CLEAN, "--breakout", breakout]) == 2
    assert "name its file, --board" in " ".join(capsys.readouterr().err.split())
