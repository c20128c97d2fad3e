"""The documents are true: sessions print what is shown, code runs, links lead somewhere."""

import io
import os
import re
import shlex
import shutil
import tomllib
from pathlib import Path

import pytest

from pincheck.cli.main import main
from pincheck.wiring import load_board

TOP = Path(__file__).parent.parent
README, WIRING = TOP / "README.md", TOP / "configs" / "wiring.md"
SESSION = re.compile(r"<!-- run( in \S+)?: pincheck (.+?) -->\n```text\n(.*?)```", re.S)
TEXT = README.read_text(encoding="utf-8")
SESSIONS = [
    (file, *found) for file in (README, WIRING) for found in SESSION.findall(file.read_text())
]


def _cut(text: str, command: str) -> str:
    """Return what `head -n N` and `tail -n N`, one after the other, leave of a text."""
    lines = text.splitlines(keepends=True)
    for each in filter(None, command.split(" | ")):
        tool, _, count = each.split()
        lines = lines[: int(count)] if tool == "head" else lines[-int(count) :]
    return "".join(lines)


def _run(command: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run a command with its input, if a file is its input."""
    words, _, given = command.partition(" < ")
    data = Path(given).read_bytes() if given else b""
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(data)))
    main(shlex.split(words))


@pytest.mark.parametrize(("file", "place", "command", "shown"), SESSIONS)
def test_sessions_print_what_is_shown(
    file: Path,
    place: str,
    command: str,
    shown: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of several commands in a copy of a folder, one after the other, the last one is shown."""
    if place:
        shutil.copytree(TOP / place.removeprefix(" in "), tmp_path / "copy")
        monkeypatch.chdir(tmp_path / "copy")
    whole, _, cut = command.partition(" | ")
    *before, last = whole.split(" && pincheck ")
    for each in before:
        _run(each, monkeypatch)
    capsys.readouterr()
    _run(last, monkeypatch)
    printed = _cut(capsys.readouterr().out, cut)
    if os.environ.get("PINCHECK_REGENERATE"):
        text = file.read_text(encoding="utf-8")
        lead = f"<!-- run{place}: pincheck {command} -->\n```text\n"
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
