"""The README is true: its sessions print what it shows, its code runs, its links lead somewhere."""

import os
import re
import shlex
import tomllib
from pathlib import Path

import pytest

from pincheck.cli.main import main

README = Path(__file__).parent.parent / "README.md"
SESSION = re.compile(r"<!-- run: pincheck (.+?) -->\n```text\n(.*?)```", re.S)
TEXT = README.read_text(encoding="utf-8")


def _cut(text: str, command: str) -> str:
    """Return what `head -n N` or `tail -n N` leaves of a text."""
    if not command:
        return text
    tool, _, count = command.split()
    lines = text.splitlines(keepends=True)
    return "".join(lines[: int(count)] if tool == "head" else lines[-int(count) :])


@pytest.mark.parametrize("command", [found[0] for found in SESSION.findall(TEXT)])
def test_sessions_print_what_is_shown(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    whole, _, cut = command.partition(" | ")
    main(shlex.split(whole))
    printed = _cut(capsys.readouterr().out, cut)
    if os.environ.get("PINCHECK_REGENERATE"):
        text = README.read_text(encoding="utf-8")
        shown = f"<!-- run: pincheck {command} -->\n```text\n"
        start = text.index(shown) + len(shown)
        end = text.index("```", start)
        README.write_text(text[:start] + printed + text[end:], encoding="utf-8")
        return
    assert dict(SESSION.findall(TEXT))[command] == printed


@pytest.mark.parametrize("code", re.findall(r"```python\n(.*?)```", TEXT, re.S))
def test_python_runs(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(code, "README.md", "exec"), {})
    before, after = re.findall(r"(\d+) findings before, (\d+) after", capsys.readouterr().out)[0]
    assert int(after) < int(before)


@pytest.mark.parametrize("document", re.findall(r"```toml\n(.*?)```", TEXT, re.S))
def test_toml_is_toml(document: str) -> None:
    assert tomllib.loads(document)


def test_links_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)]+)\)", TEXT):
        assert (README.parent / target).exists(), target
