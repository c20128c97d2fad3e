"""What a shell gets: completion, the manual page, a sign of life while a command is at work."""

import io
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from pincheck.cli import base
from pincheck.cli.completion import SHELLS
from pincheck.cli.main import COMMANDS, main, parser
from pincheck.cli.progress import Progress


@pytest.mark.parametrize("shell", SHELLS)
def test_every_shell_gets_every_command(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    assert all(command in script for command in COMMANDS)


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash")
@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("ch", {"check", "chips"}),
        ("check --at-l", {"--at-least"}),
        ("words wir", {"wiring"}),
        ("check mach", {"machine.cfg"}),
    ],
)
def test_bash_completes_commands_options_choices_and_files(
    words: str, offered: set[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["completion", "bash"])
    (tmp_path / "completion").write_text(capsys.readouterr().out)
    (tmp_path / "machine.cfg").touch()
    typed = f"pincheck {words}".split()
    asked = (
        f"source ./completion; COMP_WORDS=({' '.join(typed)}); COMP_CWORD={len(typed) - 1}; "
        'COMP_LINE="${COMP_WORDS[*]}"; $(complete -p pincheck | sed "s/.*-F \\([^ ]*\\).*/\\1/"); '
        'printf "%s\\n" "${COMPREPLY[@]}"'
    )
    run = subprocess.run(["bash", "-c", asked], cwd=tmp_path, capture_output=True, text=True)
    assert set(run.stdout.split()) == offered, run.stderr


def test_the_manual_page_has_every_option_of_every_command(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["manual"]) == 0
    page = capsys.readouterr().out
    for part in base.parsers(parser()):
        for option in part._option_string_actions:
            if option not in ("-h", "--help"):
                assert rf"\fB{option.replace('-', chr(92) + '-')}\fR" in page, option
    assert page.startswith(".TH PINCHECK 1")
    if shutil.which("groff"):
        check = ["groff", "-man", "-ww", "-z"]
        assert subprocess.run(check, input=page, capture_output=True, text=True).stderr == ""


def test_a_sign_of_life_comes_and_goes() -> None:
    terminal = io.StringIO()
    sign = Progress(terminal, "pincheck check", after_s=0.001)
    sign.start()
    sign.shown.wait()
    sign.stop()
    first, *_, last = terminal.getvalue().split("\r")[1:]
    assert first == "pincheck check ... "
    assert last == ""
    before = terminal.getvalue()
    sign.stop()
    assert terminal.getvalue() == before


def test_what_is_no_terminal_gets_no_sign(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = io.StringIO()
    monkeypatch.setattr(sys, "stderr", stream)
    assert main(["rules"]) == 0
    assert stream.getvalue() == ""
