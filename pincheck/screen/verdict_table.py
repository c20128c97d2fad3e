"""The verdict table as a page: roles against what is known of them."""

from collections.abc import Iterator

from pincheck.model.attribute import ATTRIBUTES, COLUMNS, Column
from pincheck.model.finding import Finding, Result, Verdict
from pincheck.model.frozen import frozen
from pincheck.reports import sentences
from pincheck.screen.page import PageLine, TextRun, Tone, fit, text

WIDE = 80
"""Columns from which the table writes words, marks below."""

ROLE = 15
"""Columns of a role's name; the longest, `filament.sensor`, fits."""

CELL = 8
"""Columns of a cell with a word in it."""

NARROW = 5
"""Columns of a cell with a mark in it."""

_TONES: dict[str, Tone] = {
    "DANGER": "danger",
    "FAULT": "fault",
    "advice": "advice",
    "agrees": "agrees",
    "so far": "strong",
    "?": "strong",
}
_SHORT = {"DANGER": "!!", "FAULT": "!", "advice": "~", "agrees": "ok", "so far": "ok?"}
LEGEND = "!! danger  ! fault  ~ advice  ok agrees  ? not checked"
"""The marks of the narrow table."""


@frozen
class VerdictCell:
    """One cell of the verdict table."""

    role: str
    column: Column


def heads(width: int) -> Iterator[PageLine]:
    """Yield the line over the table."""
    names = "".join(_head(name, width >= WIDE) for name in COLUMNS)
    yield text(f" {'role':<{ROLE}}{names}", "dim")


def _head(name: Column, wide: bool) -> str:
    if not wide:
        return f" {name[: NARROW - 1]}"
    return name if len(name) == CELL else f" {name[: CELL - 1]:<{CELL - 1}}"


def table(result: Result, width: int) -> Iterator[PageLine]:
    """Yield roles against columns; every filled cell is a target."""
    for role in result.roles():
        found = sentences.cells(result, role)
        cells = (_cell(role, name, found.get(name, ()), width >= WIDE) for name in COLUMNS)
        yield (TextRun(f" {fit(role, ROLE)}"), *(run for cell in cells for run in cell))


def _cell(
    role: str, column: Column, verdicts: tuple[Verdict, ...], wide: bool
) -> tuple[TextRun, ...]:
    width, word = CELL if wide else NARROW, sentences.cell(verdicts)
    if not word:
        return (TextRun(" " * width),)
    shown = f" {word if wide else _SHORT.get(word, word):<2} "[:width]
    target = VerdictCell(role, column)
    return TextRun(shown, _TONES.get(word, ""), target), TextRun(" " * (width - len(shown)))


def cell_words(result: Result, cell: VerdictCell) -> str:
    """Return in one sentence what a cell of the table means."""
    verdicts = sentences.cells(result, cell.role).get(cell.column, ())
    worst: Finding | None = max(
        (finding for verdict in verdicts for finding in verdict.findings),
        key=lambda finding: finding.severity,
        default=None,
    )
    if worst:
        return f"{cell.role} {cell.column}: {worst.severity.word}. {worst.message}"
    for verdict in verdicts:
        if verdict.state == "not checked":
            what = ATTRIBUTES[verdict.attribute].words
            return f"{cell.role} {cell.column}: {what} not checked, {verdict.reason}"
    listed = ", ".join(ATTRIBUTES[verdict.attribute].words for verdict in verdicts)
    return f"{cell.role} {cell.column}: agrees ({listed})"
