"""`reference` as a command: files for each style, a diff for what is there, exit codes."""

import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main

WIRING = str(api.demo("marsh-230-c.toml"))
CURLEW = str(api.demo("marsh-230-curlew.toml"))


def test_every_style_is_printed_or_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["reference", "--wiring", WIRING]) == 0
    printed = capsys.readouterr().out
    assert main(["reference", "--wiring", WIRING, "--into", str(tmp_path / "out")]) == 0
    files = sorted(path for path in (tmp_path / "out").rglob("*") if path.is_file())
    assert [str(path.relative_to(tmp_path / "out")) for path in files] == [
        "define/machine.h",
        "define/machine_adv.h",
        "gcode/reference.g",
        "section/reference.cfg",
    ]
    assert all(path.read_text() in printed for path in files)


def test_a_style_that_cannot_say_it_ends_with_1_and_the_reason(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["reference", "--wiring", CURLEW, "--style", "define"]) == 1
    assert "define style: no reference: " in capsys.readouterr().out
    assert main(["reference", "--wiring", CURLEW, "--style", "section"]) == 0


def test_files_that_are_there_stay(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "section/reference.cfg"
    file.parent.mkdir()
    file.write_text("mine\n")
    call = ["reference", "--wiring", WIRING, "--style", "section", "--into", str(tmp_path)]
    assert main(call) == 2
    assert "reference.cfg is there already" in capsys.readouterr().err
    assert file.read_text() == "mine\n"
    assert main([*call, "--replace"]) == 0
    assert "heater_pin: PC8" in file.read_text()


def test_onto_a_configuration_shows_a_diff_and_writes_on_request_only(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mine = shutil.copytree(api.demo("clean") / "section", tmp_path / "mine")
    wiring = str(api.demo("marsh-230-b.toml"))
    before = (mine / "toolhead.cfg").read_text()
    assert main(["reference", "--wiring", wiring, "--onto", str(mine)]) == 0
    out = capsys.readouterr().out
    assert "-pin: PB8" in out
    assert "+pin: PB7" in out
    assert (mine / "toolhead.cfg").read_text() == before
    assert main(["reference", "--wiring", wiring, "--onto", str(mine), "--write"]) == 0
    assert (mine / "toolhead.cfg").read_text() == before.replace("pin: PB8", "pin: PB7")
    assert main(["check", str(mine), "--wiring", wiring]) == 0


def test_without_wiring_nothing_is_guessed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["reference"]) == 2
    assert "which wiring?" in capsys.readouterr().err
