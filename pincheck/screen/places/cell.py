"""One cell of the verdict table in full."""

from collections.abc import Iterable

from textual import on
from textual.widget import Widget

from pincheck.model.finding import Finding
from pincheck.screen.first_look import Cell
from pincheck.screen.page import Sheet
from pincheck.screen.places.base import Place
from pincheck.screen.places.finding import FindingPlace
from pincheck.screen.spot import cell_lines
from pincheck.screen.view import PageView


class CellPlace(Place):
    """The verdicts of a role and column, with both sides of each."""

    HERE = "verdicts"
    HINTS = ("Enter finding", "g curves", "b board", "Esc back", "? keys")

    def __init__(self, cell: Cell) -> None:
        super().__init__()
        self.cell = cell

    @property
    def role(self) -> str:
        """The role of the cell."""
        return self.cell.role

    def body(self) -> Iterable[Widget]:
        """Yield the page."""
        yield PageView(self.desk.glyphs, id="page")

    def draw(self) -> None:
        """Show the verdicts."""
        if result := self.session.result:
            glyphs = self.desk.glyphs
            self.view("page").show(
                lambda width: Sheet(list(cell_lines(result, self.cell, width, glyphs)))
            )

    @on(PageView.Opened, "#page")
    def open_finding(self, message: PageView.Opened) -> None:
        """Go to a finding."""
        result = self.session.result
        if result and isinstance(message.target, Finding):
            self.app.push_screen(FindingPlace(message.target, result.findings))
