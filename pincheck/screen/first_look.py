"""The first look: the answer, the verdict table and the findings as they strike."""

from collections.abc import Iterable, Iterator, Sequence
from typing import ClassVar

from textual import events, on
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.widget import Widget
from textual.widgets import Input

from pincheck.model.finding import Finding, Severity
from pincheck.reports import sentences
from pincheck.screen import verdict_table
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.page import TONES, PageLine, TextRun, fit, text, wrapped
from pincheck.screen.page_view import PageView
from pincheck.screen.row_list import RowList
from pincheck.screen.search import HINT, parse
from pincheck.screen.verdict_table import LEGEND, ROLE, WIDE, VerdictCell


class FirstLook(BaseScreen):
    """Table above or beside the findings; Tab goes from one to the other."""

    HERE = "first look"
    HINTS = (
        "Enter detail",
        "Tab table/list",
        "/ find",
        "e edits",
        "b board",
        "w bench walk",
        "? keys",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "find", "find: search and filter the findings", key_display="/"),
        Binding("1", "only('danger')", "dangers only"),
        Binding("2", "only('fault')", "faults only"),
        Binding("3", "only('advice')", "advice only"),
        Binding("0", "only('')", "every finding"),
    ]

    def body(self) -> Iterable[Widget]:
        """Yield table, findings and the line to type a search in."""
        findings = RowList(self.session.glyphs, id="findings")
        heads, table = self.page("heads", focus=False), self.page("table")
        yield Container(
            Vertical(heads, table, id="table-side"),
            Vertical(self.page("count", focus=False), findings, id="findings-side"),
            id="halves",
        )
        yield self.page("meaning", focus=False)
        yield Input(placeholder=HINT, id="find", select_on_focus=False)

    def on_mount(self) -> None:
        """Begin at the worst finding."""
        super().on_mount()
        self.rows("findings").focus()
        self.find.display = False

    @property
    def find(self) -> Input:
        """The line to type a search in."""
        return self.query_one("#find", Input)

    @property
    def target(self) -> object:
        """What the cursor stands on in the half that has the keys."""
        return self.focused.target if isinstance(self.focused, PageView | RowList) else None

    @property
    def role(self) -> str:
        """The role of the cell or finding under the cursor."""
        return self.target.role if isinstance(self.target, VerdictCell | Finding) else ""

    @property
    def finding(self) -> Finding | None:
        """The finding under the cursor."""
        return self.target if isinstance(self.target, Finding) else None

    def shown(self) -> tuple[Finding, ...]:
        """Return the findings that the search wants."""
        result, search = self.session.result, parse(self.find.value)
        return tuple(f for f in result.findings if search.wants(f)) if result else ()

    def draw(self) -> None:
        """Show table and findings."""
        result = self.session.result
        if result is None:
            return
        moments = len({finding.when for finding in result.findings})
        roles, findings = len(result.roles()), len(result.findings) + moments
        self.query_one("#table-side").styles.height = roles + 1
        rows = max(roles, findings) if self.has_class("broad") else roles + findings + 1
        self.query_one("#halves").styles.height = rows + 2 if self.has_class("tall") else "1fr"
        self.view("heads").show(verdict_table.heads)
        self.view("table").show(lambda width: verdict_table.table(result, width))
        self.draw_findings()

    @on(Input.Changed, "#find")
    def draw_findings(self) -> None:
        """Show the findings that the search wants."""
        result, shown, typed = self.session.result, self.shown(), self.find.value.strip()
        numbered = [it for it in enumerate(result.findings if result else (), 1) if it[1] in shown]
        chosen = [proposal.finding for proposal in self.session.selection()]
        said = sentences.plural(len(result.findings) if result else 0, "finding")
        said = f" {len(shown)} of {said} for: {typed}  (0 all)" if typed else f" {said}"
        self.rows("findings").show(lambda width: finding_rows(numbered, width, chosen))
        self.view("count").show(lambda width: [text(fit(said, width), "title")])

    @on(PageView.Stood)
    @on(RowList.OptionHighlighted)
    @on(events.DescendantFocus)
    def say_meaning(self) -> None:
        """Say in full what the cursor is on."""
        if isinstance(self.focused, PageView | RowList):
            target = self.target
            self.view("meaning").show(lambda width: self._meaning(target, width))

    def _meaning(self, target: object, width: int) -> Iterable[PageLine]:
        """Return the page of what the cursor is on; where there is little room, a sentence."""
        result, glyphs = self.session.result, self.session.glyphs
        if result is None or not isinstance(target, Finding | VerdictCell):
            return ()
        if not self.has_class("tall"):
            return _sentence(
                target.message
                if isinstance(target, Finding)
                else verdict_table.cell_words(result, target),
                width,
                legend=isinstance(target, VerdictCell) and width < WIDE,
            )
        if isinstance(target, Finding):
            from pincheck.screen.finding import finding_page

            return finding_page(result, target, self.session.proposal(target), width, glyphs)
        from pincheck.screen.cell import cell_page

        return cell_page(result, target, width, glyphs)

    @on(PageView.Opened, "#table")
    def open_cell(self, message: PageView.Opened) -> None:
        """Go to a cell, or straight to the one finding that it stands for."""
        from pincheck.screen.cell import CellScreen, findings
        from pincheck.screen.finding import FindingScreen

        result, cell = self.session.result, message.target
        if result is None or not isinstance(cell, VerdictCell):
            return
        found = findings(result, cell)
        if len(found) == 1:
            self.app.push_screen(FindingScreen(self.session, found[0], result.findings))
        else:
            self.app.push_screen(CellScreen(self.session, cell))

    @on(RowList.OptionSelected)
    def open_finding(self) -> None:
        """Go to a finding."""
        from pincheck.screen.finding import FindingScreen

        if isinstance(finding := self.rows("findings").target, Finding):
            self.app.push_screen(FindingScreen(self.session, finding, self.shown()))

    def action_find(self) -> None:
        """Type a search."""
        self.find.display = True
        self.find.focus()

    @on(Input.Submitted, "#find")
    def keep(self) -> None:
        """Keep the search and go to the list."""
        self.find.display = bool(self.find.value.strip())
        self.rows("findings").focus()

    def action_only(self, severity: str) -> None:
        """Show one severity only, or all."""
        assert not severity or Severity[severity.upper()]
        self.find.value = severity
        self.keep()

    def action_leave(self) -> None:
        """Drop the search; the first look is not left by Escape."""
        self.action_only("")


def finding_rows(
    shown: Iterable[tuple[int, Finding]], width: int, chosen: Sequence[Finding] = ()
) -> Iterator[PageLine]:
    """Yield a row for each finding below its moment, a plus before those whose edit is chosen."""
    picked = {id(finding) for finding in chosen}
    for heading, numbered in sentences.by_moment(shown):
        yield text(f" {heading}", "title")
        for number, finding in numbered:
            yield _finding_row(number, finding, width, "+ " if id(finding) in picked else "")


def _finding_row(number: int, finding: Finding, width: int, tick: str) -> PageLine:
    wide = width >= WIDE
    mark = f" {number:>2} {sentences.MARKS[finding.severity]:>2} {finding.severity.word:<6} "
    role = fit(finding.role, ROLE - 1) + " " if wide else ""
    said = finding.message if wide else f"{finding.role}: {finding.message}"
    rest = tick + fit(said, width - len(mark) - len(role) - len(tick))
    return (
        TextRun(mark, TONES[finding.severity], finding),
        TextRun(role, "strong"),
        TextRun(rest),
    )


def _sentence(said: str, width: int, *, legend: bool) -> Iterator[PageLine]:
    rows = wrapped(said, width - 2)[:3]
    for row in rows:
        yield text(f" {row}", "strong")
    if legend and len(rows) < 3:
        yield text(f" {LEGEND}", "dim")
