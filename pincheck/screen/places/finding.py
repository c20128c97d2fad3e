"""One finding in full."""

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widget import Widget

from pincheck.model.finding import Finding
from pincheck.reports import words
from pincheck.screen import detail
from pincheck.screen.page import Page, Sheet, text
from pincheck.screen.places.base import Place
from pincheck.screen.session import key
from pincheck.screen.view import PageView


class FindingPlace(Place):
    """A finding's page; n and p go through the list that it was opened from."""

    HERE = "finding"
    HINTS = (
        "n/p next, previous",
        "e choose its edit",
        "g curves",
        "b board",
        "c copy",
        "Esc back",
        "? keys",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "step(1)", "next finding"),
        Binding("p", "step(-1)", "previous finding"),
    ]

    def __init__(self, finding: Finding, among: Sequence[Finding]) -> None:
        super().__init__()
        self._finding, self.among = finding, tuple(among)

    @property
    def finding(self) -> Finding:
        """The finding in view."""
        return self._finding

    @property
    def role(self) -> str:
        """The role of the finding."""
        return self.finding.role

    def body(self) -> Iterable[Widget]:
        """Yield the page."""
        yield PageView(self.desk.glyphs, id="page")

    def draw(self) -> None:
        """Show the finding as the latest check has it, or that it is gone."""
        result = self.session.result
        if result is None:
            return
        latest = {key(f): f for f in result.findings}
        finding = latest.get(key(self.finding))
        if finding is None:
            gone = f" This finding is gone: {words.headline(result)}"
            self.view("page").show(lambda _: Sheet([text(gone, "agrees")]))
            return
        self._finding = finding
        self.view("page").show(self._page)

    def _page(self, width: int) -> Page:
        result = self.session.result
        assert result is not None
        proposal = self.session.proposal(self.finding)
        return Sheet(
            list(detail.finding_lines(result, self.finding, proposal, width, self.desk.glyphs))
        )

    def action_step(self, by: int) -> None:
        """Go to the next or previous finding of the list."""
        self._finding = self.session.neighbour(self.finding, self.among, by)
        self.view("page").scroll_to(y=0, animate=False)
        self.draw()
