"""How far a run is, on one line of a terminal that is written over, or in plain lines."""

import time
from collections import deque
from collections.abc import Callable
from typing import TextIO

from pincheck.reports.sentences import plural

_EVERY_S = 0.2
_RECENT = 100
"""Submissions that the rate is taken from: what was remembered passes in no time, and says nothing
about those that are checked."""

_STEPS = 10


class Progress:
    """Tells count, rate, time left and dangers so far.

    On a terminal it writes over its line a few times a second; elsewhere a line a tenth.
    """

    def __init__(
        self, total: int, out: TextIO, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._total, self._out, self._clock = total, out, clock
        self._terminal = out.isatty()
        self._start = self._shown = clock()
        self._recent = deque([self._start], maxlen=_RECENT)
        self._done = self._dangers = 0

    def add(self, danger: bool) -> None:
        """Count one more submission."""
        now = self._clock()
        if not self._done:
            self._recent.clear()  # until here the workers were starting
        self._recent.append(now)
        self._done += 1
        self._dangers += danger
        if self._terminal:
            if now - self._shown >= _EVERY_S or self._done == self._total:
                self._shown = now
                self._out.write(f"\r\x1b[K{self.line()}")
                self._out.flush()
        elif self._done * _STEPS // self._total > (self._done - 1) * _STEPS // self._total:
            self._out.write(f"{self.line()}\n")
            self._out.flush()

    def line(self) -> str:
        """Return the state of the run in words."""
        elapsed = self._recent[-1] - self._recent[0]
        parts = [self.count()]
        if self._done == self._total:
            parts = [f"{self.count()} in {_duration(self._recent[-1] - self._start)}"]
        elif elapsed > 0:
            rate = (len(self._recent) - 1) / elapsed
            parts += [f"{rate:.1f}/s", f"{_duration((self._total - self._done) / rate)} left"]
        return ", ".join((*parts, plural(self._dangers, "danger")))

    def count(self) -> str:
        """Return how many are done, and of how many."""
        return f"{self._done} of {self._total}"

    def end(self) -> None:
        """Leave the line."""
        if self._terminal and self._done:
            self._out.write("\n")


def _duration(seconds: float) -> str:
    whole = round(seconds)
    hours, minutes = whole // 3600, whole // 60 % 60
    if hours:
        return f"{hours} h {minutes} min"
    return f"{minutes} min {whole % 60} s" if minutes else f"{whole} s"
