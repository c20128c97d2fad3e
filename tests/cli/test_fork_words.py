"""A fork's own key names, wherever a command reads or writes a configuration."""

import json
import shutil
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main

WIRING = str(api.demo("marsh-230-c.toml"))


@pytest.fixture
def fork(tmp_path: Path) -> list[str]:
    """The argument for a fork that calls a heater's limit `hottest_c`."""
    file = tmp_path / "fork.toml"
    file.write_text(
        'style = "section"\nentries = [ { section = "extruder{n?}", key = "hottest_c", '
        'role = "hotend{n?}.heater", attribute = "max_c", as = "number" } ]\n'
    )
    return ["--words", str(file)]


@pytest.fixture
def customer(tmp_path: Path) -> Path:
    """A folder with one submission for that fork, which lets the hot end go too far."""
    where = tmp_path / "batch" / "a"
    shutil.copytree(api.demo("clean") / "section", where)
    text = (where / "toolhead.cfg").read_text()
    (where / "toolhead.cfg").write_text(text.replace("max_temp: 255", "hottest_c: 300"))
    return where


def test_a_reference_is_written_and_released_in_the_forks_words(
    fork: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its own name goes before the built-in one, and the release check reads it."""
    shutil.copytree(api.demo("boards"), tmp_path / "boards")
    wiring = str(shutil.copy(WIRING, tmp_path / "c.toml"))
    into = tmp_path / "reference" / "c"
    assert main(["reference", "--wiring", wiring, *fork, "--into", str(into)]) == 0
    file = into / "section" / "reference.cfg"
    assert file.read_text().count("\nmax_temp: ") == 1  # the bed's
    file.write_text(file.read_text().replace("\nhottest_c: 2", "\nhottest_c: 3"))
    capsys.readouterr()
    assert main(["release", str(tmp_path)]) == 1
    out = capsys.readouterr().out
    assert "reference.cfg: changed by hand" in out
    assert "firmware  reference.cfg:" not in out
    assert main(["release", str(tmp_path), *fork]) == 1
    assert "firmware  reference.cfg:" in capsys.readouterr().out


def test_the_desk_checks_and_replies_in_the_forks_words(
    fork: list[str], customer: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What was checked without the words is checked again with them, and with others."""
    lines = tmp_path / "out.jsonl"
    desk = ["desk", str(customer.parent), "--wiring", WIRING, "--processes", "1"]
    keep = ["--store", str(tmp_path / "store"), "--json-lines", str(lines)]
    found = []
    for words in ([], fork):
        main([*desk, *keep, *words])
        record = json.loads(lines.read_text())
        found.append([f["place"]["line"] for f in record["findings"] if "limit" in f["rule"]])
    assert found == [[], [17]]
    capsys.readouterr()
    assert main([*desk, *fork, "--reply", "a"]) == 1
    out = capsys.readouterr().out
    assert "-hottest_c: 300" in out
    assert "+hottest_c: 255" in out


def test_a_configuration_goes_onto_another_and_beside_it_and_into_a_draft(
    fork: list[str], customer: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`reference --onto`, `configurations` and `draft` read the fork's limit."""
    assert main(["reference", "--wiring", WIRING, "--onto", str(customer), *fork]) == 0
    assert "+hottest_c: 255" in capsys.readouterr().out
    stock = str(api.demo("clean") / "section")
    assert main(["configurations", stock, str(customer), *fork]) == 1
    assert "hotend.heater highest temperature allowed: changed" in capsys.readouterr().out
    board = shutil.copy(api.demo("boards") / "heron-2.toml", tmp_path)
    assert main(["draft", str(customer), "--board", str(board), *fork]) == 0
    assert "max_c = 300" in capsys.readouterr().out


def test_words_of_no_style_are_refused_where_there_are_several(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nobody guesses which configurations they are for."""
    file = tmp_path / "fork.toml"
    file.write_text('style = "sektion"\nrelevant = ["laser"]\n')
    assert main(["reference", "--wiring", WIRING, "--words", str(file)]) == 2
    err = capsys.readouterr().err
    assert "fork.toml:1:9" in err
    assert "section" in err
