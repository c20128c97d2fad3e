"""The documents are true: sessions print what is shown, code runs, links lead somewhere."""

import os
import re
import shlex
import tomllib
from pathlib import Path

import pytest

from pincheck.cli.main import main
from pincheck.wiring import load_board

TOP = Path(__file__).parent.parent
README, WIRING = TOP / "README.md", TOP / "configs" / "wiring.md"
SESSION = re.compile(r"<!-- run: pincheck (.+?) -->\n```text\n(.*?)```", re.S)
TEXT = README.read_text(encoding="utf-8")
SESSIONS = [
    (file, *found) for file in (README, WIRING) for found in SESSION.findall(file.read_text())
]


def _cut(text: str, command: str) -> str:
    """Return what `head -n N` or `tail -n N` leaves of a text."""
    if not command:
        return text
    tool, _, count = command.split()
    lines = text.splitlines(keepends=True)
    return "".join(lines[: int(count)] if tool == "head" else lines[-int(count) :])


@pytest.mark.parametrize(("file", "command", "shown"), SESSIONS)
def test_sessions_print_what_is_shown(
    file: Path, command: str, shown: str, capsys: pytest.CaptureFixture[str]
) -> None:
    whole, _, cut = command.partition(" | ")
    main(shlex.split(whole))
    printed = _cut(capsys.readouterr().out, cut)
    if os.environ.get("PINCHECK_REGENERATE"):
        text = file.read_text(encoding="utf-8")
        lead = f"<!-- run: pincheck {command} -->\n```text\n"
        start = text.index(lead) + len(lead)
        end = text.index("```", start)
        file.write_text(text[:start] + printed + text[end:], encoding="utf-8")
        return
    assert shown == printed


@pytest.mark.parametrize("code", re.findall(r"```python\n(.*?)```", TEXT, re.S))
def test_python_runs(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(code, "README.md", "exec"), {})
    before, after = re.findall(r"(\d+) findings before, (\d+) after", capsys.readouterr().out)[0]
    assert int(after) < int(before)


@pytest.mark.parametrize(
    "document", re.findall(r"```toml\n(.*?)```", TEXT + WIRING.read_text(), re.S)
)
def test_toml_is_toml(document: str) -> None:
    assert tomllib.loads(document)


def test_links_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)]+)\)", TEXT):
        assert (README.parent / target).exists(), target


def test_the_board_of_the_wiring_guide_loads(tmp_path: Path) -> None:
    (document,) = re.findall(r"```toml\n(.*?)```", WIRING.read_text(), re.S)
    (tmp_path / "bittern.toml").write_text(document)
    board = load_board(tmp_path / "bittern.toml")
    assert board.nets["FAN"].driven_by == "FAN_GATE"
    link = board.connectors["link"].pins
    assert all(net.driven_by in link for net in board.nets.values() if net.driven_by)
