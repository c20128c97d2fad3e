"""The page of one cell of the verdict table: each attribute, what is said and what is so."""

from collections.abc import Iterator

from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.finding import Result, Verdict
from pincheck.reports import words
from pincheck.reports.glyphs import Glyphs
from pincheck.screen.detail import chain, claims_lines
from pincheck.screen.first_look import SEVERITY_TONES, Cell
from pincheck.screen.page import Line, Piece, text
from pincheck.screen.write_up import fit, heading, labelled, paragraph


def cell_lines(result: Result, cell: Cell, width: int, glyphs: Glyphs) -> Iterator[Line]:
    """Yield the verdicts of a cell; each of its findings is a target."""
    for verdict in words.cells(result, cell.role).get(cell.column, ()):
        yield from _verdict(verdict, width)
        claim = result.claims.find(verdict.role, verdict.attribute)
        if claim is not None:
            yield from claims_lines((claim,), width, glyphs)
        else:
            yield from labelled("firmware", "says nothing", width)
    wired = result.trace.find(cell.role)
    yield from heading("What the wiring does")
    if wired is None:
        yield from paragraph("nothing is fitted for it", width)
    elif wired.path.hops:
        yield from chain(wired.path, width, glyphs)
    else:
        yield from labelled("part", wired.part.title or wired.part.id, width)


def _verdict(verdict: Verdict, width: int) -> Iterator[Line]:
    unit = ATTRIBUTES[verdict.attribute].unit
    what = ATTRIBUTES[verdict.attribute].words + (f", {unit}" if unit else "")
    yield from heading(f"{verdict.role} {verdict.attribute}: {verdict.state}")
    yield text(f" {what}", "dim")
    if verdict.reason:
        yield from paragraph(verdict.reason, width)
    for finding in verdict.findings:
        mark = f" {words.MARKS[finding.severity]:>2} {finding.severity.word} "
        tone = SEVERITY_TONES[finding.severity]
        room = width - len(mark)
        yield (Piece(mark, tone, finding, whole=True), Piece(fit(finding.message, room)))
