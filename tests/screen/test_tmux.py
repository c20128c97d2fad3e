"""The real thing: the command in a real terminal, keys sent, screen captured."""

import shutil
import subprocess
import sys
import time
import uuid
from collections.abc import Iterator

import pytest

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")

PATIENCE_S = 120
"""When to give up; nothing is measured by it."""


class Terminal:
    """A tmux session of its own server."""

    def __init__(self, command: list[str], size: tuple[int, int], folder: str) -> None:
        self.server = f"pincheck-{uuid.uuid4().hex}"
        columns, lines = map(str, size)
        self.tmux("-f", "/dev/null", "new-session", "-d", "-x", columns, "-y", lines, "-c", folder)
        self.tmux("set-option", "remain-on-exit", "on")
        self.tmux("respawn-pane", "-k", " ".join(command))

    def tmux(self, *arguments: str) -> str:
        done = subprocess.run(
            ["tmux", "-L", self.server, *arguments], capture_output=True, text=True, check=True
        )
        return done.stdout

    def look(self) -> str:
        return self.tmux("capture-pane", "-p")

    def until(self, words: str) -> str:
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            if words in (seen := self.look()):
                return seen
            time.sleep(0.05)
        raise AssertionError(f"never seen: {words}\n{self.look()}")

    def gone(self) -> None:
        end = time.monotonic() + PATIENCE_S
        while self.tmux("display-message", "-p", "#{pane_dead}").strip() != "1":
            assert time.monotonic() < end, self.look()
            time.sleep(0.05)

    def press(self, *keys: str, until: str) -> str:
        self.tmux("send-keys", *keys)
        return self.until(until)


@pytest.fixture
def terminal(tmp_path) -> Iterator[Terminal]:
    command = [sys.executable, "-m", "pincheck", "screen", "--demo", "--no-animation"]
    made = Terminal(command, (80, 24), str(tmp_path))
    yield made
    made.tmux("kill-server")


def test_from_the_worst_danger_to_the_report(terminal, tmp_path):
    terminal.until("Do not power on")
    terminal.until("> 1 !! danger")
    terminal.press("Enter", until="What the firmware says")
    terminal.press("e", until="0 edits chosen")
    terminal.press("Space", until="After these edits")
    terminal.press("d", until="Write into 1 file?")
    terminal.press("y", until="1 writing can be undone")
    terminal.until("9 dangers, 5")
    terminal.press("u", until="written back as it was")
    terminal.until("10 dangers")
    terminal.press("a", until="After these edits")
    terminal.press("d", until="Write into 2 files?")
    terminal.press("y", until="1 writing can be undone")
    terminal.until("\n ! Not ready for power: 1 fault")
    terminal.press("Escape", until="finding")
    terminal.press("w", until="Read a thermometer")
    terminal.press("Enter", until="reading in C")
    terminal.press("2", "2", "Enter", until="resistance at 22 C")
    terminal.press("s", until="first-power-on.txt")
    terminal.press("Enter", until="saved: first-power-on.txt")
    terminal.press("Escape", until="finding")
    terminal.press("s", until="pincheck-report.txt")
    terminal.press("Enter", until="saved: pincheck-report.txt")
    terminal.press("Escape", until="first look")
    terminal.tmux("resize-window", "-x", "60", "-y", "20")
    terminal.until("pin pola sens")
    terminal.tmux("resize-window", "-x", "50", "-y", "20")
    terminal.until("This terminal is 50 columns")
    terminal.tmux("resize-window", "-x", "140", "-y", "45")
    terminal.until("What the firmware says")
    terminal.tmux("send-keys", "q")
    terminal.gone()
    assert "22 C agrees" in (tmp_path / "first-power-on.txt").read_text()
    assert "Marsh 230" in (tmp_path / "pincheck-report.txt").read_text()
