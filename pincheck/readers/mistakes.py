"""Collects what is wrong with the lines of one file, each mistake once."""

import re

from attrs import define, field

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem
from pincheck.model.setting import Setting
from pincheck.model.source import Source


@frozen
class Mistake:
    """What is wrong with one line: `at` counts characters from where its text begins.

    `header` is the name of the section that the line probably opens, empty for any other line.
    """

    at: int
    message: str
    expected: str
    nearest: str = ""
    header: str = ""


MERGE = re.compile(r"(?P<open><{7})|(?P<middle>={7}|\|{7})|(?P<close>>{7})")
"""The marks around and between the two versions of lines that a merge left standing."""

MERGED = Mistake(
    0,
    "two versions of these lines stand here, left by a merge",
    "one of them, without the marks",
)
MERGE_MARK = Mistake(0, "a mark of an unfinished merge", "one of both sides")


def unread(file: Source, asked_by: Setting) -> Problem:
    """Return the problem of a file that is asked for, lies there and could not be taken in."""
    where = f"{asked_by.source.name}:{asked_by.span.line}"
    return Problem(
        file.name, f"{where} asks for it, and it was not read: {file.unread}", fatal=True
    )


def merge_mistake(line: str) -> Mistake | None:
    """Return what is wrong where a line begins with a mark of a merge, None where it does not."""
    mark = MERGE.match(line)
    return None if mark is None else MERGED if mark["open"] else MERGE_MARK


@define
class Mistakes:
    """The problems of one file; lines in a row with the same mistake count as one.

    The same mistake in the same place counts once, however often it is met.
    """

    source: Source
    problems: list[Problem] = field(factory=list)
    _kind: str = ""
    _next_line: int = 0
    _more: int = 0

    def add(self, start: int, end: int, mistake: Mistake) -> None:
        """Add the mistake of the line whose text goes from `start` to `end`."""
        at = min(start + mistake.at, end)
        span = self.source.span(at, end)
        if self.problems and self.problems[-1].span == span and mistake.message == self._kind:
            return
        if mistake.message == self._kind and span.line == self._next_line and not mistake.nearest:
            self._next_line += 1
            self._more += 1
            return
        self.close()
        self._kind, self._next_line = mistake.message, span.line + 1
        if len(self.problems) == limits.PROBLEMS:
            mistake = Mistake(0, "more mistakes follow that are not shown", "")
        if len(self.problems) <= limits.PROBLEMS:
            text = self.source.line(span.line)[: limits.PROBLEM_CHARS]
            self.problems.append(
                Problem(
                    self.source.name,
                    mistake.message,
                    span,
                    text,
                    mistake.expected,
                    mistake.nearest,
                )
            )

    def close(self) -> tuple[Problem, ...]:
        """End a run of lines with the same mistake, and return all problems so far."""
        if self._more and len(self.problems) <= limits.PROBLEMS:
            last = self.problems.pop()
            message = f"{last.message} (this line and {self._more} more)"
            self.problems.append(
                Problem(last.file, message, last.span, last.text, last.expected, last.nearest)
            )
        self._kind, self._more = "", 0
        return tuple(self.problems)
