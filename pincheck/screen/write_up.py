"""Sentences, headings and labelled lines of a page at a width."""

import textwrap
from collections.abc import Iterator

from rich.cells import cell_len, set_cell_size

from pincheck.model.printable import printable
from pincheck.screen.page import Line, Piece, Tone, text

LABEL = 10
"""Columns of a label beside its text."""


def heading(words: str) -> Iterator[Line]:
    """Yield a blank line and a heading."""
    yield ()
    yield text(f" {words}", "title")


def paragraph(words: str, width: int, indent: int = 1, tone: Tone = "") -> Iterator[Line]:
    """Yield a sentence wrapped to a width."""
    pad = " " * indent
    for line in wrapped(words, width - indent):
        yield text(pad + line, tone)


def labelled(label: str, words: str, width: int, tone: Tone = "") -> Iterator[Line]:
    """Yield a sentence wrapped beside a label."""
    for number, line in enumerate(wrapped(words, width - LABEL - 1)):
        yield Piece(f" {label if number == 0 else '':<{LABEL}}", "dim"), Piece(line, tone)


def wrapped(words: str, width: int) -> list[str]:
    """Return a sentence in lines of a width, what a terminal must not see written out."""
    return textwrap.wrap(printable(words), max(width, 8), break_on_hyphens=False) or [""]


def fit(words: str, width: int, more: str = "..") -> str:
    """Return `words` in exactly `width` columns: padded, or cut with a mark."""
    shown = printable(words)
    if cell_len(shown) <= width:
        return set_cell_size(shown, width)
    return set_cell_size(set_cell_size(shown, max(width - len(more), 0)) + more, width)
