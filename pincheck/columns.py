"""A user's table with named columns (CSV), and the place of every cell."""

import re
from collections.abc import Iterator, Mapping, Sequence

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span

_SEPARATORS = ",;\t"
_CELL = {
    separator: re.compile(
        rf'[ ]*"((?:[^"]|"")*)"[ ]*(?={separator}|$)|([^"{separator}][^{separator}]*|)'
    )
    for separator in _SEPARATORS
}
"""RFC 4180, one record a line; the separator is that of the header."""


@frozen
class Cell:
    """The text of one cell, blanks around it taken away, and where it stands."""

    text: str
    span: Span


@frozen
class Row:
    """One record: by column the cell that it has; `span` is the whole line."""

    cells: Mapping[str, Cell]
    span: Span

    def text(self, column: str) -> str:
        """Return the text in a column, empty where there is none."""
        return self.cells[column].text if column in self.cells else ""

    def place(self, column: str) -> Span:
        """Return where a column's cell stands, else the line."""
        return self.cells[column].span if column in self.cells else self.span


def rows(
    source: Source,
    needed: Mapping[str, Sequence[str]],
    more: Mapping[str, Sequence[str]] | None = None,
) -> tuple[Row, ...]:
    """Return the records of a table whose first line names its columns.

    `needed` and `more` give for each column the words that a header may have for it.

    Raises:
        UnreadableError: the header lacks a column, or lines are broken; with every mistake.
    """
    words = {**needed, **(more or {})}
    head, *rest = _lines(source) or [(0, "")]
    separator = max(_SEPARATORS, key=head[1].count)
    problems: list[Problem] = []
    named: dict[int, str] = {}
    for at, cell in enumerate(_cells(source, *head, separator, problems)):
        column = next((c for c, known in words.items() if cell.text.lower() in known), "")
        if column and column not in named.values():
            named[at] = column
    if missing := [column for column in needed if column not in named.values()]:
        listed = [cell.text for cell in _cells(source, *head, separator, [])]
        wanted = ", ".join(needed)
        near = nearest(missing[0], listed)
        message = f"the first line names no column {' and no column '.join(missing)}"
        span = source.span(head[0], head[0] + len(head[1]))
        raise UnreadableError(
            (Problem(source.name, message, span, head[1], f"columns {wanted}", near, fatal=True),)
        )
    found = []
    for start, line in rest:
        cells = _cells(source, start, line, separator, problems)
        made = {named[at]: cell for at, cell in enumerate(cells) if at in named}
        if any(cell.text for cell in made.values()):
            found.append(Row(made, source.span(start, start + len(line))))
    if problems:
        raise UnreadableError(tuple(problems[: limits.WIRING_PROBLEMS]))
    return tuple(found)


def _lines(source: Source) -> list[tuple[int, str]]:
    """Return where each line with anything on it starts, and its text."""
    found, start = [], 0
    for line in source.text.split("\n"):
        if line.strip():
            found.append((start, line.removesuffix("\r")))
        start += len(line) + 1
    return found


def _cells(
    source: Source, start: int, line: str, separator: str, problems: list[Problem]
) -> Iterator[Cell]:
    at = 0
    while at <= len(line):
        form = _CELL[separator].match(line, at)
        if form is None or (form.end() < len(line) and line[form.end()] != separator):
            span = source.span(start + at, start + len(line))
            message = "a quotation mark is not closed on its line, or stands inside a cell"
            expected = 'cells such as 12 or "12, 13"'
            shown = line[: limits.PROBLEM_CHARS]
            problems.append(Problem(source.name, message, span, shown, expected, fatal=True))
            return
        group = 1 if form[1] is not None else 2
        text = form[group].replace('""', '"') if group == 1 else form[group]
        yield Cell(text.strip(), source.span(start + form.start(group), start + form.end(group)))
        at = form.end() + 1
