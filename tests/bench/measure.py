"""What every benchmark shares: runs that take turns, and rows of one table."""

import os
import resource
import sys
from collections.abc import Callable, Iterable, Sequence

from attrs import frozen

Run = Callable[[], object]


@frozen
class Row:
    """One line of the table; `met` is None where there is no goal."""

    name: str
    figure: str
    goal: str = ""
    met: bool | None = None

    def __str__(self) -> str:
        verdict = {True: "met", False: "NOT MET", None: ""}[self.met]
        return f"  {self.name:<52} {self.figure:>14}  {self.goal:<14} {verdict}".rstrip()


def at_most(name: str, value: float, goal: float) -> Row:
    """Return a row for a ratio that should be small."""
    return Row(name, f"{value:.2f}", f"at most {goal:g}", value <= goal)


def at_least(name: str, value: float, goal: float) -> Row:
    """Return a row for a ratio that should be large."""
    return Row(name, f"{value:.1f}", f"at least {goal:g}", value >= goal)


def seconds(run: Run) -> float:
    """Return the processor time of one run, of the processes that it starts included.

    Unlike the clock on the wall it does not count what else the machine is busy with.
    """
    start = _used_s()
    run()
    return _used_s() - start


def _used_s() -> float:
    whole = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(used.ru_utime + used.ru_stime for used in whole)


def best(rounds: int, *runs: Run) -> list[float]:
    """Return the shortest time of each run in seconds; they take turns, so that load hits all."""
    times = [[seconds(run) for run in runs] for _ in range(rounds)]
    return [min(column) for column in zip(*times, strict=True)]


def growth(runs: Iterable[tuple[float, Run]], rounds: int = 8) -> Row:
    """Return a row with the time per line at 1, 2, 4 and 8 times the lines, the first being 1."""
    lines, works = zip(*runs, strict=True)
    each = [time / count for time, count in zip(best(rounds, *works), lines, strict=True)]
    shares = [time / each[0] for time in each]
    figure = " ".join(f"{share:.2f}" for share in shares)
    return Row("time a line at 1x 2x 4x 8x", figure, "about 1", max(shares) <= 1.5)


def processor_s(command: Sequence[str]) -> float:
    """Return the processor time that a command takes in a process of its own, output dropped."""
    quiet = [(os.POSIX_SPAWN_OPEN, fd, os.devnull, os.O_WRONLY, 0) for fd in (1, 2)]
    pid = os.posix_spawn(command[0], command, os.environ, file_actions=quiet)
    used = os.wait4(pid, 0)[2]
    return used.ru_utime + used.ru_stime


def python(*words: str) -> list[str]:
    """Return the command that runs this Python with these words."""
    return [sys.executable, *words]
