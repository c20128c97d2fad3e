"""Ends the reading of files that go far beyond any machine, so that nothing is judged by half."""

from pincheck.model import limits
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source


class TooMuchError(Exception):
    """A bound on all files of one machine together is passed; the message says which."""


def refusal(source: Source, at: int, bound: str) -> UnreadableError:
    """Return the error that refuses a whole machine; `at` is where it passes `bound`."""
    span = source.span(at, at)
    problem = Problem(
        source.name,
        f"{bound}, far beyond any machine: nothing was checked",
        span,
        source.line(span.line)[: limits.PROBLEM_CHARS],
        "the configuration of one machine",
        fatal=True,
    )
    return UnreadableError((problem,))
