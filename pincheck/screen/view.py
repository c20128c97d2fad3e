"""The one widget behind every place: draws a page line by line and moves a cursor over it."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, ClassVar, cast

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from pincheck.reports.glyphs import LINES, Glyphs
from pincheck.screen import page as pages
from pincheck.screen.looks import CURSOR
from pincheck.screen.page import Page, Piece, Sheet, Spot, Tone

if TYPE_CHECKING:
    from pincheck.screen.app import PincheckApp

Maker = Callable[[int], Page]
"""Makes a page for a width in columns."""


class PageView(ScrollView, can_focus=True):
    """Shows a page; only the lines in view are made."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "go(0, -1)", "up", key_display="up k"),
        Binding("down,j", "go(0, 1)", "down", key_display="down j"),
        Binding("left", "go(-1, 0)", "left"),
        Binding("right", "go(1, 0)", "right"),
        Binding("pageup", "leap(-1)", "page up"),
        Binding("pagedown", "leap(1)", "page down"),
        Binding("home", "end(-1)", "to the first line"),
        Binding("end", "end(1)", "to the last line"),
        Binding("enter,space", "open", "open what the cursor is on", key_display="enter space"),
    ]

    class Stood(Message):
        """The cursor stands on another target."""

        def __init__(self, view: "PageView", target: object) -> None:
            super().__init__()
            self.view, self.target = view, target

        @property
        def control(self) -> "PageView":
            return self.view

    class Opened(Stood):
        """A target was opened by key or mouse."""

    def __init__(self, glyphs: Glyphs = LINES, *, focus: bool = True, id: str) -> None:  # noqa: A002
        super().__init__(id=id)
        self.glyphs = glyphs
        self.can_focus = focus
        self.page: Page = Sheet()
        self.spot: Spot | None = None
        self._make: Maker = lambda _: Sheet()
        self._made_for = 0
        self._wanted: object = None

    @property
    def _tones(self) -> Mapping[Tone, Style]:
        return cast("PincheckApp", self.app).tones

    @property
    def target(self) -> object:
        """What the cursor stands on."""
        return pages.target(self.page, self.spot)

    def show(self, make: Maker, stand_on: object = None) -> None:
        """Show another page, the cursor on `stand_on`, else where it was, else on the first."""
        wanted = stand_on
        if wanted is None:
            wanted = self.target if self._made_for else self._wanted
        self._make, self._wanted = make, wanted
        self._remake(wanted)

    def _remake(self, wanted: object) -> None:
        self._made_for = self.size.width
        if not self._made_for:
            return
        before = self.target
        self.page = self._make(self._made_for)
        self.virtual_size = Size(self._made_for, self.page.height)
        self.spot = pages.find(self.page, wanted) or pages.first(self.page)
        if self.spot:
            self._reveal()
        else:
            self.scroll_to(y=min(self.scroll_y, self.max_scroll_y), animate=False)
        self.refresh()
        if self.target is not before or before is None:
            self.post_message(self.Stood(self, self.target))

    def stand(self, spot: Spot | None) -> None:
        """Move the cursor."""
        if spot is None or spot == self.spot:
            return
        old, self.spot = self.spot, spot
        for moved in (old, spot):
            if moved:
                self.refresh(Region(0, moved.y - int(self.scroll_y), self.size.width, 1))
        self._reveal()
        self.post_message(self.Stood(self, self.target))

    def _reveal(self) -> None:
        assert self.spot is not None
        top, rows = int(self.scroll_y), max(self.size.height, 1)
        first = 0 if self.spot == pages.first(self.page) else self.spot.y
        if first < top:
            self.scroll_to(y=first, animate=False, force=True)
        elif self.spot.y >= top + rows:
            self.scroll_to(y=self.spot.y - rows + 1, animate=False, force=True)

    def in_view(self) -> tuple[int, int]:
        """Return the first and last line in view, from 1."""
        top = int(self.scroll_y)
        return min(top + 1, self.page.height), min(top + self.size.height, self.page.height)

    def on_resize(self, _: events.Resize) -> None:
        """Make the page anew for another width."""
        if self.size.width != self._made_for:
            self._remake(self.target if self._made_for else self._wanted)
        elif self.spot:
            self._reveal()

    def render_line(self, y: int) -> Strip:
        """Return one line of the view."""
        width, number = self.size.width, y + int(self.scroll_y)
        base = self.rich_style  # worked out anew at each look
        if number >= self.page.height:
            return Strip.blank(width, base)
        line = self.page.line(number)
        here = self.spot.x if self.spot and self.spot.y == number else -1
        lit = here >= 0 and line[here].whole
        parts = [self._segment(piece, base, x == here, lit) for x, piece in enumerate(line)]
        strip = Strip(parts).adjust_cell_length(width, parts[-1].style if lit else base)
        more = self._more(y)
        if not more:
            return strip
        mark = Segment(more, base + self._tones["title"])
        return Strip([*strip.crop(0, width - 1), mark])

    def _more(self, y: int) -> str:
        """Return the mark of a page that goes on beyond the view."""
        rows = self.size.height
        if not self.can_focus or rows < 2:
            return ""
        if y == 0 and self.scroll_y >= 1:
            return self.glyphs.above
        below = int(self.scroll_y) + rows < self.page.height
        return self.glyphs.below if below and y == rows - 1 else ""

    def _segment(self, piece: Piece, base: Style, here: bool, lit: bool) -> Segment:
        style = base + self._tones[piece.tone]
        shown = piece.text
        if here and self.has_focus:
            shown = f">{shown[1:]}" if piece.whole else f"[{shown[1:-1]}]"
        if (here or lit) and self.has_focus:
            style += CURSOR
        return Segment(self.glyphs.shown(shown), style)

    def watch_has_focus(self, focus: bool) -> None:
        """Draw the cursor of the view that the keys go to."""
        super().watch_has_focus(focus)
        self.refresh()

    def action_go(self, across: int, down: int) -> None:
        """Move to the next target, or scroll where none is near."""
        if self.spot is None:
            self.scroll_relative(across, down, animate=False)
        elif across:
            self.stand(pages.across(self.page, self.spot, across))
        else:
            self._go_down(down)

    def _go_down(self, by: int) -> None:
        assert self.spot is not None
        there, (top, bottom) = pages.down(self.page, self.spot, by), self.in_view()
        near = there != self.spot and top - 1 <= there.y + 1 <= bottom + 1
        if near:
            self.stand(there)
        else:
            self.scroll_relative(y=by, animate=False)

    def action_leap(self, by: int) -> None:
        """Move by the height of the view."""
        rows = max(self.size.height - 1, 1) * by
        if self.spot is not None:
            self.stand(pages.down(self.page, self.spot, rows))
        else:
            self.scroll_relative(y=rows, animate=False)

    def action_end(self, by: int) -> None:
        """Move to the first or last target."""
        self.stand(pages.first(self.page) if by < 0 else pages.last(self.page))
        self.scroll_to(y=0 if by < 0 else self.max_scroll_y, animate=False)

    def action_open(self) -> None:
        """Open what the cursor is on."""
        if self.target is not None:
            self.post_message(self.Opened(self, self.target))

    def on_click(self, event: events.Click) -> None:
        """Stand on what was clicked; a second click opens it."""
        spot = pages.at(self.page, event.y + int(self.scroll_y), event.x)
        if spot is None:
            return
        if spot == self.spot:
            self.action_open()
        self.stand(spot)
