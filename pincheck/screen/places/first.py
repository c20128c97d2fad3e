"""The first look: the answer, the verdict table and the findings, worst first."""

from collections.abc import Iterable
from typing import ClassVar

from textual import events, on
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.widget import Widget
from textual.widgets import Input

from pincheck.model.finding import Finding, Severity
from pincheck.reports import words
from pincheck.screen import first_look
from pincheck.screen.first_look import Cell
from pincheck.screen.page import Page, Sheet, text
from pincheck.screen.places.base import Place
from pincheck.screen.search import HINT, parse
from pincheck.screen.view import PageView
from pincheck.screen.write_up import fit, wrapped


class FirstLook(Place):
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
        glyphs = self.desk.glyphs
        yield Container(
            Vertical(
                PageView(glyphs, focus=False, id="heads"),
                PageView(glyphs, id="table"),
                id="table-side",
            ),
            Vertical(
                PageView(glyphs, focus=False, id="count"),
                PageView(glyphs, id="findings"),
                id="findings-side",
            ),
            id="halves",
        )
        yield PageView(glyphs, focus=False, id="meaning")
        yield Input(placeholder=HINT, id="find", select_on_focus=False)

    def on_mount(self) -> None:
        """Begin at the worst finding."""
        super().on_mount()
        self.view("findings").focus()
        self.query_one("#find").display = False

    @property
    def role(self) -> str:
        """The role of the cell or finding under the cursor."""
        target = self.focused.target if isinstance(self.focused, PageView) else None
        return target.role if isinstance(target, Cell | Finding) else ""

    @property
    def finding(self) -> Finding | None:
        """The finding under the cursor."""
        target = self.focused.target if isinstance(self.focused, PageView) else None
        return target if isinstance(target, Finding) else None

    @property
    def typed(self) -> str:
        """The search as typed."""
        return self.query_one("#find", Input).value

    def shown(self) -> tuple[Finding, ...]:
        """Return the findings that the search wants."""
        result, search = self.session.result, parse(self.typed)
        return tuple(f for f in result.findings if search.wants(f)) if result else ()

    def draw(self) -> None:
        """Show table and findings."""
        result = self.session.result
        if result is None:
            return
        roles, tall = len(result.roles()), self.has_class("tall")
        self.query_one("#table-side").styles.height = roles + 1
        broad = self.has_class("broad")
        rows = max(roles, len(result.findings)) if broad else roles + len(result.findings) + 1
        self.query_one("#halves").styles.height = rows + 2 if tall else "1fr"
        self.view("heads").show(first_look.heads)
        self.view("table").show(lambda width: first_look.table(result, width))
        self.draw_findings()

    def draw_findings(self) -> None:
        """Show the findings that the search wants."""
        shown = self.shown()
        chosen = [proposal.finding for proposal in self.session.selection()]
        self.view("findings").show(lambda width: first_look.findings(shown, width, chosen))
        self.view("count").show(lambda width: self._count(len(shown), width))

    def _count(self, shown: int, width: int) -> Page:
        result = self.session.result
        every = len(result.findings) if result else 0
        said = f" {words.plural(every, 'finding')}, worst first"
        if self.typed.strip():
            said = (
                f" {shown} of {words.plural(every, 'finding')} for: {self.typed.strip()}  (0 all)"
            )
        return Sheet([text(fit(said, width), "title")])

    @on(PageView.Stood)
    def say_meaning(self, message: PageView.Stood) -> None:
        """Say in full what the cursor is on."""
        if self.focused is message.view:
            self._mean(message.target)

    @on(events.DescendantFocus)
    def say_meaning_there(self) -> None:
        """Say in full what the other view's cursor is on."""
        if isinstance(self.focused, PageView):
            self._mean(self.focused.target)

    def _mean(self, target: object) -> None:
        self.view("meaning").show(lambda width: self._meaning(target, width))

    def _meaning(self, target: object, width: int) -> Page:
        result, glyphs = self.session.result, self.desk.glyphs
        if result is None:
            return Sheet()
        if isinstance(target, Finding):
            if self.has_class("tall"):
                from pincheck.screen.detail import finding_lines

                proposal = self.session.proposal(target)
                return Sheet(list(finding_lines(result, target, proposal, width, glyphs)))
            return Sheet([text(f" {row}", "strong") for row in wrapped(target.message, width - 2)])
        if isinstance(target, Cell):
            if self.has_class("tall"):
                from pincheck.screen.spot import cell_lines

                return Sheet(list(cell_lines(result, target, width, glyphs)))
            said = first_look.cell_words(result, target)
            rows = [text(f" {row}", "strong") for row in wrapped(said, width - 2)[:3]]
            narrow = width < first_look.WIDE and len(rows) < 3
            return Sheet([*rows, text(f" {first_look.LEGEND}", "dim")] if narrow else rows)
        return Sheet()

    @on(PageView.Opened, "#table")
    def open_cell(self, message: PageView.Opened) -> None:
        """Go to a cell, or straight to the one finding that it stands for."""
        result, cell = self.session.result, message.target
        if result is None or not isinstance(cell, Cell):
            return
        from pincheck.screen.places.cell import CellPlace
        from pincheck.screen.places.finding import FindingPlace

        verdicts = words.cells(result, cell.role).get(cell.column, ())
        found = list(dict.fromkeys(f for verdict in verdicts for f in verdict.findings))
        if len(found) == 1:
            self.app.push_screen(FindingPlace(found[0], result.findings))
        else:
            self.app.push_screen(CellPlace(cell))

    @on(PageView.Opened, "#findings")
    def open_finding(self, message: PageView.Opened) -> None:
        """Go to a finding."""
        from pincheck.screen.places.finding import FindingPlace

        if isinstance(message.target, Finding):
            self.app.push_screen(FindingPlace(message.target, self.shown()))

    def action_find(self) -> None:
        """Type a search."""
        find = self.query_one("#find", Input)
        find.display = True
        find.focus()

    @on(Input.Changed, "#find")
    def narrow(self) -> None:
        """Narrow the list while typing."""
        self.draw_findings()

    @on(Input.Submitted, "#find")
    def keep(self) -> None:
        """Keep the search and go to the list."""
        self.query_one("#find").display = bool(self.typed.strip())
        self.view("findings").focus()

    def action_only(self, severity: str) -> None:
        """Show one severity only, or all."""
        assert not severity or Severity[severity.upper()]
        find = self.query_one("#find", Input)
        find.value = severity
        find.display = bool(severity)
        self.view("findings").focus()

    def action_leave(self) -> None:
        """Drop the search; the first look is not left by Escape."""
        self.action_only("")
