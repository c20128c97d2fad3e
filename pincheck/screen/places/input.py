"""What was read, and what was wrong or missing in it."""

from collections.abc import Iterable

from textual.widget import Widget

from pincheck.screen.input_page import input_lines
from pincheck.screen.page import Sheet
from pincheck.screen.places.base import Place
from pincheck.screen.view import PageView


class InputPlace(Place):
    """Files, their trouble, what was not sent, cautions."""

    HERE = "input"
    HINTS = ("up/down read", "Esc back", "? keys")

    def body(self) -> Iterable[Widget]:
        """Yield the page."""
        yield PageView(self.desk.glyphs, id="page")

    def draw(self) -> None:
        """Show where the answer comes from."""
        if checked := self.session.checked:
            self.view("page").show(lambda width: Sheet(list(input_lines(checked, width))))
