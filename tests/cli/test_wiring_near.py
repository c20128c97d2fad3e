"""An assembly that lies in or beside the configuration is found without being named."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main


@pytest.fixture
def printer(tmp_path: Path) -> Path:
    """The clean demo as a user's own folders: configuration and wiring side by side."""
    shutil.copytree(api.demo("clean/section"), tmp_path / "printer")
    shutil.copytree(api.demo("boards"), tmp_path / "wiring/boards")
    shutil.copy(api.demo("marsh-230-c.toml"), tmp_path / "wiring")
    return tmp_path / "printer"


def test_the_only_one_is_taken_and_named(
    printer: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(printer.parent)
    for given in ("printer", "printer/machine.cfg"):
        assert main(["check", given]) == 0
        said = capsys.readouterr().err
        assert "wiring taken from wiring/marsh-230-c.toml, for it is the only one" in said
    assert main(["claims", "printer"]) == 0
    assert "PC8 of main" in capsys.readouterr().out
    assert main(["trace", "part.fan"]) == 0


def test_one_in_the_folder_itself_counts_before_one_beside_it(
    printer: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(api.demo("boards"), printer / "boards")
    shutil.copy(api.demo("marsh-230-b.toml"), printer)
    assert main(["check", str(printer)]) == 1
    assert capsys.readouterr().out.startswith("Marsh 230 with Lapwing B\n")


def test_of_two_nobody_chooses_for_the_user(
    printer: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copy(api.demo("marsh-230-b.toml"), printer.parent / "wiring")
    assert main(["check", str(printer)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "marsh-230-b.toml" in err
    assert "marsh-230-c.toml" in err
    assert "choose one: --wiring" in err


def test_a_board_alone_is_no_assembly(printer: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (printer.parent / "wiring/marsh-230-c.toml").unlink()
    shutil.copy(api.demo("boards/heron-2.toml"), printer)
    assert main(["check", str(printer)]) == 2
    assert "which wiring? none lies here" in capsys.readouterr().err


def test_nothing_is_taken_from_above_the_present_folder(tmp_path, capsys, monkeypatch):
    """Without a configuration nobody said that what lies one folder up belongs to it."""
    shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
    for other in set(tmp_path.glob("*.toml")) - {tmp_path / "marsh-230-c.toml"}:
        other.unlink()
    monkeypatch.chdir(tmp_path / "clean")
    assert main(["figures"]) == 2
    assert "which wiring?" in capsys.readouterr().err
