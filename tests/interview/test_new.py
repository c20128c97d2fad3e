"""`new`: answers by pipe become files that load; whatever is not known agrees with nothing."""

import io
import shutil
import tomllib
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main

HERE = Path(__file__).parent / "bittern"
BITTERN = (HERE / "answers.txt").read_text().splitlines(keepends=True)

HEATER = BITTERN.index("heater-24v-40w\n")


@pytest.fixture
def answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Return what runs `new` in a folder of the test's with these lines as its input."""
    monkeypatch.chdir(tmp_path)

    def run(lines: list[str], folder: str = "wiring") -> int:
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO("".join(lines).encode())))
        return main(["new", folder])

    return run


def written(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*.toml")
        if path.name != "answers.toml"
    }


def test_answers_become_files_that_check_agrees_with(answer, tmp_path, capsys):
    """The machine of the README: its swapped fans are found, mended, and all of it agrees then."""
    assert answer(BITTERN) == 0
    shutil.copy(HERE / "printer/machine.cfg", tmp_path)
    assert main(["check", "."]) == 1
    assert "(pins-swapped)" in capsys.readouterr().out
    assert main(["edits", ".", "--write"]) == 0
    assert main(["check", "."]) == 0
    assert "Configuration and wiring agree" in capsys.readouterr().out


def test_what_one_answer_leaves_open_is_not_checked(answer, tmp_path, capsys):
    """Of the bed nobody knows the side of its transistor, of the fan not even which it is."""
    lines = list(BITTERN)
    bed = lines.index("bed-24v-200w\n")
    lines[bed + 2 : bed + 4] = ["?\n"]
    fan = lines.index("fan-24v-0a3\n")
    lines[fan : fan + 5] = ["?\n"]
    assert answer(lines) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "not checked until you know it: bed.heater, on which side PA8" in said
    result = api.check(
        api.load_configuration(HERE / "printer/machine.cfg"),
        api.load_wiring(tmp_path / "wiring/assembly.toml"),
    )
    state = {(it.role, it.attribute): it.state for it in result.verdicts}
    assert state["bed.heater", "pin"] == "not checked"
    assert state["hotend.heater", "pin"] == "agrees"
    assert ("bed.heater", "pin") in {(it.role, it.attribute) for it in result.unjudged}


def test_it_may_be_left_at_any_question_and_goes_on_there(answer, tmp_path):
    assert answer(BITTERN, "whole") == 0
    for cut in range(3, len(BITTERN), 10):
        folder = f"cut{cut}"
        assert answer(BITTERN[:cut], folder) == 2
        assert written(tmp_path / folder) == {}
        assert answer(BITTERN[cut:], folder) == 0
        assert written(tmp_path / folder) == written(tmp_path / "whole")


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_who_knows_nothing_is_told_that_nothing_agrees(answer, tmp_path, style):
    assert answer(["?\n"] * 100) == 0
    wiring = tmp_path / "wiring/assembly.toml"
    machine = api.load_configuration(api.demo("clean") / style)
    result = api.check(machine, api.load_wiring(wiring))
    assert result.tally("agrees") == 0
    assert result.findings == ()
    assert main(["check", str(api.demo("clean") / style), "-w", str(wiring)]) not in (0, 1)


def test_a_board_that_has_a_file_is_taken_as_it_is(answer, tmp_path):
    """Heron 2 and Lapwing C, answered with their files: the demo's own copper comes out."""
    boards = api.demo("boards")
    lines = [
        "Marsh\n", f"{boards / 'heron-2.toml'}\n", "file\n", f"{boards / 'lapwing-c.toml'}\n",
        "toolhead\n", "link\n", "straight\n", "26\n", "0.6\n",
        "heater-24v-40w\n", "tool.heater\n", "ntc-100k-104gt-2\n", "thermistor\n", "\n",
        "fan-24v-0a1\n", "hotend_fan\n", "1 2\n",
    ]  # fmt: skip
    assert answer([*lines, *["\n"] * 30]) == 0
    told = api.trace(api.load_wiring(tmp_path / "wiring/assembly.toml"))
    demo = api.trace(api.load_wiring(api.demo("marsh-230-c.toml")))
    for role in ("hotend.heater", "hotend.sensor", "hotend.fan"):
        assert told.find(role).path.line() == demo.find(role).path.line()
    copied = (tmp_path / "wiring/boards/heron-2.toml").read_bytes()
    assert copied == (boards / "heron-2.toml").read_bytes()


def test_the_question_before_comes_again(answer, tmp_path):
    assert answer(["Bitern\n", "back\n", "Bittern\n", *["?\n"] * 100]) == 0
    text = (tmp_path / "wiring/assembly.toml").read_text()
    assert tomllib.loads(text)["assembly"]["name"] == "Bittern"


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["B\n", "\n", "S\n", "f446ze\n"], "Which one: stm32f446zeh, stm32f446zej"),
        (["B\n", "none.toml\n"], "there is no such file"),
        (["B\n", "\n", "S\n", "stm32f446zet6\n", "240000\n"], "a number from 1 to 400 V"),
        ([*BITTERN[:5], "bed\n", "24V PB77\n"], "PB77 is no pin of the chip"),
        ([*BITTERN[: BITTERN.index("24V HEAT\n")], "24V HEATT\n"], "Did you mean HEAT?"),
        ([*BITTERN[:HEATER], "heater 24\n"], "2 heater-24v-60w 24 V 60 W cartridge heater"),
        ([*BITTERN[: HEATER + 1], "heatr\n"], "Did you mean tool.heater?"),
        (["a\x1b[2J\n"], "Type a name"),
    ],
)
def test_an_answer_that_is_none_is_told_what_would_be(answer, capsys, lines, said):
    assert answer(lines) == 2
    out, err = capsys.readouterr()
    assert said in " ".join(out.split())
    assert "\x1b" not in out
    assert "the same command goes on" in " ".join(err.split())


def test_nothing_that_is_there_is_written_over(answer, tmp_path, capsys):
    (tmp_path / "wiring").mkdir()
    mine = tmp_path / "wiring/assembly.toml"
    mine.write_text("mine\n")
    assert answer(BITTERN) == 2
    assert "stays as it is" in capsys.readouterr().err
    assert mine.read_text() == "mine\n"
    board = tmp_path / "other/boards/stilt-1-main.toml"
    board.parent.mkdir(parents=True)
    board.write_text("mine\n")
    assert answer(BITTERN, "other") == 2
    assert board.read_text() == "mine\n"
    assert not (tmp_path / "other/assembly.toml").exists()


def test_a_spoilt_answer_is_named_and_asked_again(answer, tmp_path, capsys):
    assert answer(BITTERN[:5]) == 2
    file = tmp_path / "wiring/answers.toml"
    file.write_text(file.read_text().replace('"24"', '"24000"'))
    assert answer(BITTERN[4:]) == 0
    assert "main.supply_v = 24000 answers nothing any more" in capsys.readouterr().out
    file.write_text("machine = 3\n")
    (tmp_path / "wiring/assembly.toml").unlink()
    assert answer(BITTERN) == 2
    assert "machine is no text" in capsys.readouterr().err


def test_the_boards_own_names_are_kept_for_the_styles_that_use_them(answer, tmp_path):
    assert answer(BITTERN) == 0
    board = api.load_wiring(tmp_path / "wiring/assembly.toml").boards["main"]
    assert board.pin_names["gcode"] == {"e0heat": "PB1", "bed": "PA8"}
    assert board.identifiers == ("BOARD_STILT",)
