"""A sign of life on the terminal while a command is at work and has printed nothing yet."""

import sys
from typing import TextIO

AFTER_S = 0.5
"""What people take for at once (common practice)."""


class Progress:
    """Counts seconds on one line of `stream`, on a terminal only, until something is printed."""

    def __init__(self, stream: TextIO, command: str, after_s: float = AFTER_S) -> None:
        import threading

        self._stream, self._command, self._after_s = stream, command, after_s
        self._over, self.shown = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=self._count, daemon=True)

    def start(self) -> None:
        """Begin to count."""
        self._thread.start()

    def stop(self) -> None:
        """Take the line away, if it was shown; no more comes."""
        self._over.set()
        self._thread.join()

    def _count(self) -> None:
        waited = self._after_s
        while not self._over.wait(self._after_s):
            self._write(f"\r{self._command}: {int(waited)} s ".replace(": 0 s", " ..."))
            self.shown.set()
            waited += self._after_s
        if self.shown.is_set():
            self._write(f"\r{' ' * (len(self._command) + 12)}\r")

    def _write(self, text: str) -> None:
        try:
            self._stream.write(text)
            self._stream.flush()
        except (OSError, ValueError):  # the terminal has gone
            self._over.set()


_running: list[Progress] = []


def begin(command: str) -> None:
    """Show that a command is at work, where standard error is a terminal."""
    if sys.stderr.isatty():
        _running.append(Progress(sys.stderr, f"pincheck {command}"))
        _running[-1].start()


def end() -> None:
    """Show nothing any more, for something is printed now, or all is done."""
    while _running:
        _running.pop().stop()
