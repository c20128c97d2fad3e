"""The walk at a plain terminal, its answers in a pipe."""

import io
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from pincheck.api import demo
from pincheck.bench.readings import load
from pincheck.cli.main import main

NAME = "Marsh 230 with Lapwing C"


@pytest.fixture
def machine(tmp_path: Path) -> list[str]:
    """The clean demo as files of one's own."""
    shutil.copytree(demo("."), tmp_path / "mine")
    return [str(tmp_path / "mine/clean/section"), "-w", str(tmp_path / "mine/marsh-230-c.toml")]


def walked(monkeypatch: pytest.MonkeyPatch, arguments: list[str], typed: str) -> int:
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    return main(["walk", *arguments])


def test_a_walk_that_was_left_goes_on_where_it_was(machine, monkeypatch, capsys, tmp_path):
    assert walked(monkeypatch, machine, "22\n14.6\nquit\n") == 3
    out = capsys.readouterr().out
    assert "13.8 to " in out
    assert "Left. 2 of" in out
    assert load(tmp_path / "mine/marsh-230-c.readings", NAME) == {
        "room temperature": "22",
        "hotend.heater resistance": "14.6",
    }
    assert walked(monkeypatch, machine, "warm\nback\n97k\n") == 3
    out = capsys.readouterr().out
    assert out.index("2 of ") < out.index("hot-end sensor, resistance at 22 C")
    assert "a reading is wanted in ohm" in out
    assert "97 kohm is " not in out.replace("97 kohm agrees", "")


def test_a_wrong_reading_ends_before_power_and_with_1(machine, monkeypatch, capsys):
    assert walked(monkeypatch, machine, "22\n3.6\n" + "skip\n" * 60) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "! WRONG: 3.6 ohm is below what is expected" in out
    assert ", power on:" not in out
    assert out.index("Stop here: no power before this is mended") < out.index("- hot-end heater, r")


def test_no_power_is_reached_while_a_danger_is_open(monkeypatch, capsys):
    assert walked(monkeypatch, ["--demo"], "skip\n" * 60) == 1
    out = capsys.readouterr().out
    assert ", power on:" not in out
    assert "Readings are not kept; --keep FILE" in out
    assert not list(demo(".").glob("*.readings"))


def test_a_file_of_readings_is_judged_and_nothing_asked(machine, tmp_path, capsys, contract):
    file = tmp_path / "mine.readings"
    file.write_text(f'machine = "{NAME}"\n[readings]\n"hotend.heater resistance" = "3.6"\n')
    assert main(["walk", *machine, "--readings", str(file), "--json"]) == 1
    whole = json.loads(capsys.readouterr().out)
    contract("walk").validate(whole)
    assert whole["headline"].startswith("Do not go on: 1 step at the bench contradicts")
    file.write_text(f'machine = "{NAME}"\n[readings]\n"hotend.heater resistence" = "14.6"\n')
    assert main(["walk", *machine, "--readings", str(file)]) == 3
    assert "did you mean 'hotend.heater resistance'?" in " ".join(capsys.readouterr().err.split())
    assert main(["walk", *machine, "--readings", str(tmp_path / "none")]) == 2


def test_a_kill_loses_no_reading_that_was_judged(machine, tmp_path):
    command = [sys.executable, "-m", "pincheck", "walk", *machine]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, bufsize=1
    ) as walk:
        assert walk.stdin
        assert walk.stdout
        walk.stdin.write("22\n14.6\n")
        for line in walk.stdout:
            if "14.6 ohm agrees" in line:
                break
        os.kill(walk.pid, signal.SIGKILL)
    assert load(tmp_path / "mine/marsh-230-c.readings", NAME)["hotend.heater resistance"] == "14.6"


def test_a_port_that_is_not_there_is_told_and_the_walk_goes_on(machine, monkeypatch, capsys):
    monkeypatch.setattr("pincheck.console.port.WallClock.pause", lambda *_: None)
    walked(monkeypatch, [*machine, "--port", "/dev/no-such-line"], "skip\n" * 99)
    out = " ".join(capsys.readouterr().out.split())
    assert "! /dev/no-such-line cannot be opened: No such file or directory" in out
    assert "The walk goes on by hand." in out


def test_without_its_package_a_port_is_one_sentence(machine, monkeypatch, capsys):
    monkeypatch.setattr("pincheck.console.port.find_spec", lambda _: None)
    assert walked(monkeypatch, [*machine, "--port", "/dev/ttyACM0"], "") == 2
    assert "pip install 'pincheck[serial]'" in capsys.readouterr().err
