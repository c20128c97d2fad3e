"""Progress on a terminal and elsewhere."""

import io
from collections.abc import Callable

from pincheck.batch.progress import Progress


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def _clock(step_s: float) -> Callable[[], float]:
    ticks = iter(range(10**6))
    return lambda: next(ticks) * step_s


def test_plain_lines_by_tenths() -> None:
    """A log gets ten lines, however large the batch, with count, rate, time left and dangers."""
    out = io.StringIO()
    progress = Progress(200, out, _clock(1.0))
    for number in range(200):
        progress.add(danger=number % 100 == 0)
    shown = out.getvalue().splitlines()
    assert len(shown) == 10
    assert shown[0] == "20 of 200, 1.0/s, 3 min 0 s left, 1 danger"
    assert shown[-1] == "200 of 200 in 3 min 20 s, 2 dangers"
    assert "\x1b" not in out.getvalue()


def test_one_line_on_a_terminal() -> None:
    """It is written over, not more than a few times a second, and left at the end."""
    out = _Terminal()
    progress = Progress(50, out, _clock(0.05))
    for _ in range(50):
        progress.add(danger=False)
    progress.end()
    assert out.getvalue().count("\n") == 1
    assert out.getvalue().count("\r") < 25


def test_times_in_words() -> None:
    """Long waits are told in minutes and hours."""
    progress = Progress(10_000, io.StringIO(), _clock(1.0))
    progress.add(danger=False)
    assert progress.line() == "1 of 10000, 0 dangers"
    progress.add(danger=False)
    assert progress.line() == "2 of 10000, 1.0/s, 2 h 46 min left, 0 dangers"


def test_what_was_remembered_does_not_promise_an_early_end() -> None:
    """Going on after Ctrl-C, the rate is soon that of the checks, not that of reading on."""
    ticks = iter([0.0, *(number / 1000 for number in range(500)), *range(1, 200)])
    progress = Progress(1_000, io.StringIO(), lambda: next(ticks))
    for _ in range(500 + 150):
        progress.add(danger=False)
    assert progress.line() == "650 of 1000, 1.0/s, 5 min 50 s left, 0 dangers"


def test_an_empty_batch() -> None:
    """Nothing to tell is no failure."""
    progress = Progress(0, io.StringIO())
    progress.end()
    assert progress.line().startswith("0 of 0")
