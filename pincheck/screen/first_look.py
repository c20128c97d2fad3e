"""Pages of the first look: the verdict table and the list of findings."""

from collections.abc import Sequence

from attrs import frozen

from pincheck.model.attribute import ATTRIBUTES, COLUMNS, Column
from pincheck.model.finding import Finding, Result, Severity, Verdict
from pincheck.reports import words
from pincheck.screen.page import Line, Listing, Page, Piece, Sheet, Tone, text
from pincheck.screen.write_up import fit

WIDE = 80
"""Columns from which the table writes words, marks below."""

ROLE = 15
"""Columns of a role's name; the longest, `filament.sensor`, fits."""

CELL = 8
"""Columns of a cell with a word in it."""

TONES: dict[str, Tone] = {
    "DANGER": "danger",
    "FAULT": "fault",
    "advice": "advice",
    "agrees": "agrees",
    "so far": "strong",
    "?": "strong",
}
SEVERITY_TONES: dict[Severity, Tone] = {
    Severity.DANGER: "danger",
    Severity.FAULT: "fault",
    Severity.ADVICE: "advice",
}
_SHORT = {"DANGER": "!!", "FAULT": "!", "advice": "~", "agrees": "ok", "so far": "ok?"}
LEGEND = "!! danger  ! fault  ~ advice  ok agrees  ? not checked"
"""The marks of the narrow table."""


@frozen
class Cell:
    """One cell of the verdict table."""

    role: str
    column: Column


def heads(width: int) -> Page:
    """Return the line over the table."""
    wide = width >= WIDE
    return Sheet(
        [text(f" {'role':<{ROLE}}{''.join(_head(name, wide) for name in COLUMNS)}", "dim")]
    )


def _head(name: Column, wide: bool) -> str:
    if not wide:
        return f" {name[:4]}"
    return name if len(name) == CELL else f" {name[: CELL - 1]:<{CELL - 1}}"


def table(result: Result, width: int) -> Page:
    """Return roles against columns; every filled cell is a target."""
    wide = width >= WIDE
    return Sheet(
        [
            (Piece(f" {fit(role, ROLE)}"), *_cells(role, words.cells(result, role), wide))
            for role in result.roles()
        ]
    )


def _cells(role: str, found: dict[Column, tuple[Verdict, ...]], wide: bool) -> list[Piece]:
    width, pieces = CELL if wide else 5, []
    for column in COLUMNS:
        word = words.cell(found.get(column, ()))
        if not word:
            pieces.append(Piece(" " * width))
            continue
        shown = word if wide else _SHORT.get(word, word)
        room = max(len(shown) + 2, 4)
        pieces.append(
            Piece(f" {shown:<{room - 2}} "[:width], TONES.get(word, ""), Cell(role, column))
        )
        pieces.append(Piece(" " * (width - room)))
    return pieces


def findings(shown: Sequence[Finding], width: int, chosen: Sequence[Finding] = ()) -> Page:
    """Return the list of findings, a line each; every line is a target.

    `chosen` are those whose edit is chosen.
    """
    picked = {id(finding) for finding in chosen}
    role_width = 15 if width >= WIDE else 0

    def line(y: int) -> Line:
        finding = shown[y]
        mark = f" {words.MARKS[finding.severity]:>2} {finding.severity.word:<6} "
        role = fit(finding.role, role_width - 1) + " " if role_width else ""
        tick = "+ " if id(finding) in picked else ""
        room = width - len(mark) - len(role) - len(tick)
        said = finding.message if role_width else f"{finding.role}: {finding.message}"
        tone = SEVERITY_TONES[finding.severity]
        rest = Piece(tick + fit(said, room))
        return (Piece(mark, tone, finding, whole=True), Piece(role, "strong"), rest)

    return Listing(len(shown), line)


def cell_words(result: Result, cell: Cell) -> str:
    """Return in one sentence what a cell of the table means."""
    verdicts = words.cells(result, cell.role).get(cell.column, ())
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
