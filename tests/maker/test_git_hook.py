"""The definition for a Git commit hook, in a repository made for it."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api

DEFINITION = Path(__file__).parents[2] / ".pre-commit-hooks.yaml"


@pytest.mark.skipif(not shutil.which("git"), reason="no Git on this machine")
def test_a_commit_is_made_only_while_the_release_agrees(
    wiring: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The definition's entry as a hook lets a release pass, and holds back one that drifted."""
    folder = wiring()
    for name in ("b", "curlew"):
        (folder / f"marsh-230-{name}.toml").unlink()
    (folder / "release.toml").unlink()
    shutil.copytree(api.demo("reference") / "marsh-230-c", folder / "reference" / "marsh-230-c")
    for name in ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE"):
        monkeypatch.delenv(name, raising=False)

    def git(*words: str) -> int:
        who = ("-c", "user.name=maker", "-c", "user.email=maker@example.org")
        return subprocess.run(
            ("git", *who, *words), cwd=folder, capture_output=True, check=False
        ).returncode

    assert git("init") == 0
    lines = DEFINITION.read_text(encoding="utf-8").splitlines()
    (entry,) = (line.split(": ", 1)[1] for line in lines if line.strip().startswith("entry:"))
    program, command = entry.split(" ", 1)
    assert program == "pincheck"
    hook = folder / ".git" / "hooks" / "pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text(f"#!/bin/sh\nexec '{sys.executable}' -m {program} {command} .\n")
    hook.chmod(0o755)
    assert git("add", ".") == 0
    assert git("commit", "-m", "revision C") == 0
    file = folder / "reference" / "marsh-230-c" / "section" / "reference.cfg"
    right = file.read_text()
    file.write_text(right.replace("pin: PB8", "pin: PB7"))
    (folder / "notes.txt").write_text("nothing of the reference\n")
    assert git("add", "notes.txt") == 0
    assert git("commit", "-m", "what lies in the folder is no part of this") == 0
    assert git("add", ".") == 0
    file.write_text(right)
    assert git("commit", "-m", "mended in the folder, staged as it was") == 1
    file.write_text(right.replace("pin: PB8", "pin: PB7"))
    assert git("commit", "-a", "-m", "moved by mistake") == 1
