"""Pages: lines of runs of characters, and how sentences, labels and findings fill them.

All that the screen shows is a page made for a width in columns.
"""

import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Literal

from rich.cells import cell_len, set_cell_size

from pincheck.model.finding import Finding, Severity
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.reports import sentences

Tone = Literal[
    "", "danger", "fault", "advice", "agrees", "dim", "title", "strong", "added", "removed"
]


@frozen
class TextRun:
    """A run of characters in one tone; `target` is what it stands for, None for plain text.

    A run with a target begins and ends with a blank, where the cursor's marks go; one that
    stands for its `whole` line only begins with one.
    """

    text: str
    tone: Tone = ""
    target: object = None
    whole: bool = False


PageLine = tuple[TextRun, ...]

PageMaker = Callable[[int], Iterable[PageLine]]
"""Makes a page for a width in columns."""

TONES: Mapping[Severity, Tone] = {
    Severity.DANGER: "danger",
    Severity.FAULT: "fault",
    Severity.ADVICE: "advice",
}

LABEL = 10
"""Columns of a label beside its text."""


def text(content: str, tone: Tone = "") -> PageLine:
    """Return a line of one run."""
    return (TextRun(content, tone),)


def heading(said: str) -> Iterator[PageLine]:
    """Yield a blank line and a heading."""
    yield ()
    yield text(f" {said}", "title")


def paragraph(said: str, width: int, tone: Tone = "") -> Iterator[PageLine]:
    """Yield a sentence wrapped to a width."""
    for line in wrapped(said, width - 1):
        yield text(f" {line}", tone)


def labelled(label: str, said: str, width: int, tone: Tone = "") -> Iterator[PageLine]:
    """Yield a sentence wrapped beside a label."""
    for number, line in enumerate(wrapped(said, width - LABEL - 1)):
        yield TextRun(f" {label if number == 0 else '':<{LABEL}}", "dim"), TextRun(line, tone)


def finding_line(finding: Finding, said: str, width: int) -> PageLine:
    """Return what is said of a finding behind its mark; the line stands for the finding."""
    mark = f" {sentences.MARKS[finding.severity]:>2} {finding.severity.word} "
    shown = TextRun(mark, TONES[finding.severity], finding, whole=True)
    return shown, TextRun(fit(said, width - len(mark)))


def wrapped(said: str, width: int) -> list[str]:
    """Return a sentence in lines of a width, what a terminal must not see written out."""
    return textwrap.wrap(printable(said), max(width, 8), break_on_hyphens=False) or [""]


def fit(said: str, width: int, more: str = "..") -> str:
    """Return `said` in exactly `width` columns: padded, or cut with a mark."""
    shown = printable(said)
    if cell_len(shown) <= width:
        return set_cell_size(shown, width)
    return set_cell_size(set_cell_size(shown, max(width - len(more), 0)) + more, width)
