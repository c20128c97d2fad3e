"""The boards as drawn from the wiring data; a pin tells all that is said of it."""

from collections.abc import Iterable, Mapping, Sequence
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.widget import Widget

from pincheck.model.finding import Finding
from pincheck.screen import board_picture, pins
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.finding import FindingScreen
from pincheck.screen.page import TONES, PageLine, fit, text
from pincheck.screen.page_view import PageView
from pincheck.screen.pins import Pin
from pincheck.screen.session import Session, key
from pincheck.wiring.copper import Copper


class BoardScreen(BaseScreen):
    """Picture above or left, the pin under the cursor below or right."""

    HERE = "board"
    HINTS = ("arrows pin", "n/p finding", "x all", "o other board", "Tab", "Esc back", "? keys")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "step(1)", "mark the pins of the next finding"),
        Binding("p", "step(-1)", "mark the pins of the previous finding"),
        Binding("x", "all", "mark the pins of every finding"),
        Binding("o", "other", "the other board"),
    ]

    def __init__(self, session: Session, finding: Finding | None = None) -> None:
        super().__init__(session)
        self._finding = finding
        self.board = ""

    @property
    def finding(self) -> Finding | None:
        """The finding whose pins are marked; None for every finding."""
        return self._finding

    def body(self) -> Iterable[Widget]:
        """Yield whose pins are marked, the picture, and the pin."""
        yield self.page("what", focus=False)
        yield Container(self.page("picture"), self.page("pin"), id="board-halves")

    def on_mount(self) -> None:
        """Begin at a pin that is marked."""
        super().on_mount()
        self.view("picture").focus()
        self._to_marked()

    @property
    def marked(self) -> Mapping[Pin, Sequence[Finding]]:
        """The findings of each pin that is marked."""
        result = self.session.result
        if result is None:
            return {}
        wanted = result.findings
        if self.finding:
            wanted = tuple(f for f in wanted if key(f) == key(self.finding))
        return pins.by_pin(result, wanted)

    def draw(self, stand_on: Pin | None = None) -> None:
        """Show the board, the cursor on `stand_on`, else where it was."""
        result, glyphs = self.session.result, self.session.glyphs
        if result is None:
            return
        if self.board not in result.assembly.boards:
            self.board = board_picture.boards(result)[0]
        marked, board = self.marked, self.board
        self.view("what").show(self._what)
        self.view("picture").show(
            lambda width: board_picture.picture(result, board, marked, width, glyphs), stand_on
        )
        self.show_pin()

    def _what(self, width: int) -> Iterable[PageLine]:
        if self.finding is None:
            return [text(fit(" pins of every finding are marked", width), "title")]
        said = f" marked: {self.finding.role}: {self.finding.message}"
        return [text(fit(said, width), TONES[self.finding.severity])]

    @on(PageView.Stood, "#picture")
    def show_pin(self) -> None:
        """Tell of the pin that the cursor came to."""
        self.view("pin").show(self._pin_page)

    def _pin_page(self, width: int) -> Iterable[PageLine]:
        result, pin = self.session.result, self.view("picture").target
        if result is None or not isinstance(pin, Pin):
            return ()
        found = pins.by_pin(result, result.findings).get(pin, ())
        return pins.pin_page(result, Copper(result.assembly), pin, found, width)

    @on(PageView.Opened, "#picture")
    def to_pin(self) -> None:
        """Go to what is said of the pin."""
        self.view("pin").focus()

    @on(PageView.Opened, "#pin")
    def open_finding(self, message: PageView.Opened) -> None:
        """Go to a finding of the pin."""
        result = self.session.result
        if result and isinstance(message.target, Finding):
            self.app.push_screen(FindingScreen(self.session, message.target, result.findings))

    def action_step(self, by: int) -> None:
        """Mark the pins of another finding."""
        result = self.session.result
        if result is None or not result.findings:
            return
        if self.finding is None:
            self._finding = result.findings[0 if by > 0 else -1]
        else:
            self._finding = self.session.neighbour(self.finding, result.findings, by)
        self.draw()
        self._to_marked()

    def _to_marked(self) -> None:
        """Stand on the first marked pin, on another board where this one has none."""
        result = self.session.result
        if result is None or self.finding is None:
            return
        marked = self.marked
        for board in dict.fromkeys((self.board, *board_picture.boards(result))):
            mine = [pin for pin in marked if pin.board == board]
            if mine:
                self.board = board
                self.draw(min(mine, key=lambda pin: (pin.connector, pin.number)))
                return

    def action_all(self) -> None:
        """Mark the pins of every finding."""
        self._finding = None
        self.draw()

    def action_other(self) -> None:
        """Show the next board."""
        if result := self.session.result:
            known = board_picture.boards(result)
            self.board = known[(known.index(self.board) + 1) % len(known)]
            self.view("picture").position = None
            self.draw()
