"""`new`: answers by pipe become files that load; whatever is not known agrees with nothing."""

import io
import tomllib
from pathlib import Path

import pytest

from pincheck import api
from pincheck.cli.main import main

BITTERN = """\
Bittern 200

Stilt 1
stm32f446zet6
24
bed
24V,PA8
tool
24V PB1 PB4 PC5 GND
motx
X_1A X_1B X_2A X_2B
stop-x
PG6 GND

describe
Rail A
link
24V HEAT FAN TH GND
heater
24V HEAT
fan
24V FAN
therm
TH GND

tool
link

26
0.5
heater-24v-40w
heater
low
8
ntc-100k-104gt-2
therm
4700
block-lined
fan-24v-0a1
fan

low
1
?



bed-24v-200w
bed
?
ntc-100k-b3950
?
?
endstop-switch-nc
stop-x


motor-1a0
motx
PE1
PE2
PE3
1.2



255
liner
?
""".splitlines(keepends=True)

HEATER = BITTERN.index("heater-24v-40w\n")

SECTION = """\
[mcu]
serial: /dev/serial0
[printer]
kinematics: none
[extruder]
heater_pin: PB1
sensor_pin: PC5
sensor_type: ATC Semitec 104GT-2
control: pid
min_temp: 5
max_temp: 255
[verify_heater extruder]
[heater_fan hotend]
pin: PB4
heater: extruder
heater_temp: 50
[stepper_x]
step_pin: PE1
dir_pin: PE2
enable_pin: !PE3
endstop_pin: ^PG6
"""


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


def test_answers_become_files_that_check_reads(answer, tmp_path, capsys):
    assert answer(BITTERN) == 0
    assert "not checked until you know it: bed.heater, on which side PA8" in " ".join(
        capsys.readouterr().out.split()
    )
    (tmp_path / "machine.cfg").write_text(SECTION)
    result = api.check(
        api.load_configuration(tmp_path / "machine.cfg"),
        api.load_wiring(tmp_path / "wiring/assembly.toml"),
    )
    state = {(it.role, it.attribute): it.state for it in result.verdicts}
    for spot in (("hotend.heater", "pin"), ("hotend.fan", "pin"), ("x.endstop", "pin")):
        assert state[spot] == "agrees"
    for role in ("part.fan", "bed.heater", "bed.sensor"):
        assert state[role, "pin"] == "not checked"
    assert [it.role for it in result.unjudged if it.role.startswith("bed")] == [
        "bed.heater",
        "bed.sensor",
    ]


def test_it_may_be_left_at_any_question_and_goes_on_there(answer, tmp_path):
    assert answer(BITTERN, "whole") == 0
    for cut in range(3, len(BITTERN), 9):
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
        ([*BITTERN[:19], "24V HEATT\n"], "Did you mean HEAT?"),
        ([*BITTERN[:HEATER], "heater 24\n"], "heater-24v-60w 24 V 60 W cartridge heater"),
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
