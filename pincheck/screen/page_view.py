"""The widget behind texts and pictures: draws a page and moves a cursor over it."""

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.style import Style

from pincheck.reports.glyphs import Glyphs
from pincheck.screen import cursor
from pincheck.screen.cursor import Position
from pincheck.screen.page import PageLine, PageMaker, TextRun
from pincheck.screen.themes import STYLES

CURSOR = RichStyle(bold=True, reverse=True)
"""Added to what the cursor is on."""


def more_mark(view: ScrollView, y: int, glyphs: Glyphs) -> str:
    """Return the mark in line `y` of a view whose content goes on beyond it, empty for none."""
    rows = view.size.height
    if rows < 2:
        return ""
    if y == 0 and view.scroll_y >= 1:
        return glyphs.above
    below = int(view.scroll_y) + rows < view.virtual_size.height
    return glyphs.below if below and y == rows - 1 else ""


def with_mark(strip: Strip, mark: str, base: RichStyle) -> Strip:
    """Return a line with a mark in its last column, in the style of titles."""
    if not mark:
        return strip
    style = base + Style.parse(STYLES["title"]).rich_style
    return Strip([*strip.crop(0, strip.cell_length - 1), Segment(mark, style)])


class PageView(ScrollView, can_focus=True):
    """Shows a page, and a cursor where the page has something to stand on."""

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

    def __init__(self, glyphs: Glyphs, *, focus: bool = True, id: str) -> None:  # noqa: A002
        super().__init__(id=id)
        self.glyphs = glyphs
        self.can_focus = focus
        self.page: Sequence[PageLine] = ()
        self.position: Position | None = None
        self._make: PageMaker = lambda _: ()
        self._made_for = 0
        self._wanted: object = None

    @property
    def target(self) -> object:
        """What the cursor stands on."""
        return cursor.target(self.page, self.position)

    def show(self, make: PageMaker, stand_on: object = None) -> None:
        """Show another page, the cursor on `stand_on`, else where it was, else on the first."""
        if stand_on is None:
            stand_on = self.target if self._made_for else self._wanted
        self._make, self._wanted = make, stand_on
        self._remake(stand_on)

    def _remake(self, wanted: object) -> None:
        self._made_for = self.size.width
        if not self._made_for:
            return
        before = self.target
        self.page = tuple(self._make(self._made_for))
        self.virtual_size = Size(self._made_for, len(self.page))
        self.position = cursor.find(self.page, wanted) or cursor.first(self.page)
        if self.position:
            self._reveal()
        else:
            self.scroll_to(y=min(self.scroll_y, self.max_scroll_y), animate=False)
        self.refresh()
        if self.target is not before:
            self.post_message(self.Stood(self, self.target))

    def stand(self, position: Position | None) -> None:
        """Move the cursor."""
        if position is None or position == self.position:
            return
        old, self.position = self.position, position
        for moved in (old, position):
            if moved:
                self.refresh(Region(0, moved.y - int(self.scroll_y), self.size.width, 1))
        self._reveal()
        self.post_message(self.Stood(self, self.target))

    def _reveal(self) -> None:
        assert self.position is not None
        top, rows = int(self.scroll_y), max(self.size.height, 1)
        # What stands above the first target comes into view with it, or it never would.
        first = 0 if self.position == cursor.first(self.page) else self.position.y
        if first < top:
            self.scroll_to(y=first, animate=False, force=True)
        elif self.position.y >= top + rows:
            self.scroll_to(y=self.position.y - rows + 1, animate=False, force=True)

    def on_resize(self, _: events.Resize) -> None:
        """Make the page anew for another width."""
        if self.size.width != self._made_for:
            self._remake(self.target if self._made_for else self._wanted)
        elif self.position:
            self._reveal()

    def render_line(self, y: int) -> Strip:
        """Return one line of the view."""
        width, number = self.size.width, y + int(self.scroll_y)
        base = self.rich_style  # worked out anew at each look
        if number >= len(self.page):
            return Strip.blank(width, base)
        line = self.page[number]
        here = self.position.x if self.position and self.position.y == number else -1
        lit = here >= 0 and line[here].whole
        parts = [self._segment(run, base, x == here, lit) for x, run in enumerate(line)]
        strip = Strip(parts).adjust_cell_length(width, parts[-1].style if lit else base)
        return with_mark(strip, more_mark(self, y, self.glyphs) if self.can_focus else "", base)

    def _segment(self, run: TextRun, base: RichStyle, here: bool, lit: bool) -> Segment:
        style = base + Style.parse(STYLES[run.tone]).rich_style
        shown = run.text
        if here and self.has_focus:
            shown = f">{shown[1:]}" if run.whole else f"[{shown[1:-1]}]"
        if (here or lit) and self.has_focus:
            style += CURSOR
        return Segment(self.glyphs.shown(shown), style)

    def watch_has_focus(self, focus: bool) -> None:
        """Draw the cursor of the view that the keys go to."""
        super().watch_has_focus(focus)
        self.refresh()

    def action_go(self, across: int, down: int) -> None:
        """Move to the next target, or scroll where none is near."""
        if self.position is None:
            self.scroll_relative(across, down, animate=False)
        elif across:
            self.stand(cursor.across(self.page, self.position, across))
        else:
            there, top = cursor.down(self.page, self.position, down), int(self.scroll_y)
            if there != self.position and top - 1 <= there.y <= top + self.size.height:
                self.stand(there)
            else:
                self.scroll_relative(y=down, animate=False)

    def action_leap(self, by: int) -> None:
        """Move by the height of the view."""
        rows = max(self.size.height - 1, 1) * by
        if self.position is not None:
            self.stand(cursor.down(self.page, self.position, rows))
        else:
            self.scroll_relative(y=rows, animate=False)

    def action_end(self, by: int) -> None:
        """Move to the first or last target."""
        self.stand(cursor.first(self.page) if by < 0 else cursor.last(self.page))
        self.scroll_to(y=0 if by < 0 else self.max_scroll_y, animate=False)

    def action_open(self) -> None:
        """Open what the cursor is on."""
        if self.target is not None:
            self.post_message(self.Opened(self, self.target))

    def on_click(self, event: events.Click) -> None:
        """Stand on what was clicked; a second click opens it."""
        clicked = cursor.at(self.page, event.y + int(self.scroll_y), event.x)
        if clicked is None:
            return
        if clicked == self.position:
            self.action_open()
        self.stand(clicked)
