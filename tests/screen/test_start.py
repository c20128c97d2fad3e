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


@pytest.mark.parametrize("terminal", ["vt100", "xterm-256color"])
def test_the_terminal_decides_the_colours(terminal):
    """What the terminal can is asked once in a process; what the user asks for is read again."""
    code = (
        "import os; from pincheck.cli.screen import _colours\n"
        "for name, value in [('', ''), ('COLORFGBG', '0;15'), ('COLORFGBG', '15;0'),"
        " ('NO_COLOR', '1')]:\n"
        "    if name: os.environ[name] = value\n"
        "    print(_colours())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"PATH": "", "TERM": terminal},
    )
    expected = ["dark", "light", "dark", "none"] if "256" in terminal else ["none"] * 4
    assert done.stdout.split() == expected
