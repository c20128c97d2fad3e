"""One cell of the verdict table in full: each attribute, what is said and what is so."""

from collections.abc import Iterable, Iterator

from textual import on

from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.finding import Finding, Result, Verdict
from pincheck.reports import sentences
from pincheck.reports.glyphs import Glyphs
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.excerpt import chain, claims_lines
from pincheck.screen.finding import FindingScreen
from pincheck.screen.page import PageLine, finding_line, heading, labelled, paragraph, text
from pincheck.screen.page_view import PageView
from pincheck.screen.session import Session
from pincheck.screen.verdict_table import VerdictCell


class CellScreen(BaseScreen):
    """The verdicts of a role and column, with both sides of each."""

    HERE = "verdicts"
    HINTS = ("Enter finding", "g curves", "b board", "Esc back", "? keys")

    def __init__(self, session: Session, cell: VerdictCell) -> None:
        super().__init__(session)
        self.cell = cell

    @property
    def role(self) -> str:
        """The role of the cell."""
        return self.cell.role

    def draw(self) -> None:
        """Show the verdicts."""
        if result := self.session.result:
            glyphs = self.session.glyphs
            self.view("page").show(lambda width: cell_page(result, self.cell, width, glyphs))

    @on(PageView.Opened)
    def open_finding(self, message: PageView.Opened) -> None:
        """Go to a finding."""
        result = self.session.result
        if result and isinstance(message.target, Finding):
            self.app.push_screen(FindingScreen(self.session, message.target, result.findings))


def findings(result: Result, cell: VerdictCell) -> tuple[Finding, ...]:
    """Return what a cell stands for, each once."""
    verdicts = sentences.cells(result, cell.role).get(cell.column, ())
    return tuple(dict.fromkeys(f for verdict in verdicts for f in verdict.findings))


def cell_page(result: Result, cell: VerdictCell, width: int, glyphs: Glyphs) -> Iterator[PageLine]:
    """Yield the verdicts of a cell; each of its findings is a target."""
    for verdict in sentences.cells(result, cell.role).get(cell.column, ()):
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


def _verdict(verdict: Verdict, width: int) -> Iterable[PageLine]:
    unit = ATTRIBUTES[verdict.attribute].unit
    what = ATTRIBUTES[verdict.attribute].words + (f", {unit}" if unit else "")
    yield from heading(f"{verdict.role} {verdict.attribute}: {verdict.state}")
    yield text(f" {what}", "dim")
    if verdict.reason:
        yield from paragraph(verdict.reason, width)
    for finding in verdict.findings:
        yield finding_line(finding, finding.message, width)
