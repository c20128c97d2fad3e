"""Starting the screen from the command line."""

import subprocess
import sys

import pytest

from pincheck.cli import screen as command
from pincheck.cli.main import main


def test_without_a_terminal_it_refuses_and_names_the_text_command(capsys):
    assert main(["screen", "--demo"]) == 2
    assert "`pincheck check` prints the same answer as text" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["screen"], "which wiring?"),
        (["screen", "-w", "x.toml"], "which configuration?"),
        (["screen", "-w", "x.toml", "-"], "cannot read standard input"),
    ],
)
def test_what_is_missing_is_said_before_anything_opens(given, said, capsys, monkeypatch):
    monkeypatch.setattr(command.sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(command.sys.stdout, "isatty", lambda: True, raising=False)
    assert main(given) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize(
    "given", [["--help"], ["screen", "--help"], ["rules"], ["check", "--demo"]]
)
def test_textual_is_loaded_for_the_screen_alone(given):
    code = (
        "import sys\nfrom pincheck.cli.main import main\n"
        f"main({given!r})\n"
        "sys.exit(3 if 'textual' in sys.modules or 'rich' in sys.modules else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("environment", "colours"),
    [
        ({"NO_COLOR": "1"}, "none"),
        ({"TERM": "vt100"}, "none"),
        ({"COLORFGBG": "0;15"}, "light"),
        ({"COLORFGBG": "15;0"}, "dark"),
        ({}, "dark"),
    ],
)
def test_the_terminal_decides_the_colours(environment, colours):
    code = "from pincheck.cli.screen import _colours; print(_colours())"
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"TERM": "xterm-256color", "PATH": "", **environment},
    )
    assert done.stdout.strip() == colours
