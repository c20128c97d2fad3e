"""The toolkit's list of options, with rows made for a width and a mark before the chosen one."""

from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.binding import Binding, BindingType
from textual.strip import Strip
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from pincheck.reports.glyphs import Glyphs
from pincheck.screen.page import PageLine, PageMaker
from pincheck.screen.page_view import more_mark, with_mark
from pincheck.screen.themes import styled


class RowList(OptionList):
    """A list of one-line rows; a row whose first run has no target cannot be chosen."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "cursor_up", "up", key_display="up k"),
        Binding("down,j", "cursor_down", "down", key_display="down j"),
        Binding("pageup", "page_up", "page up"),
        Binding("pagedown", "page_down", "page down"),
        Binding("home", "first", "to the first line"),
        Binding("end", "last", "to the last line"),
        Binding("enter,space", "select", "open what the cursor is on", key_display="enter space"),
    ]

    def __init__(self, glyphs: Glyphs, *, id: str) -> None:  # noqa: A002
        super().__init__(id=id, compact=True, markup=False)
        self.glyphs = glyphs
        self._rows: list[PageLine] = []
        self._make: PageMaker = lambda _: ()
        self._wanted: object = None

    @property
    def target(self) -> object:
        """What the chosen row stands for."""
        return None if self.highlighted is None else self._rows[self.highlighted][0].target

    def show(self, make: PageMaker, stand_on: object = None) -> None:
        """Show other rows, the cursor on `stand_on`, else where it was, else on the first."""
        self._make = make
        self._remake(self.target if stand_on is None else stand_on)

    def _remake(self, wanted: object) -> None:
        """Make the rows for the width at hand; before there is one, only keep what is wanted."""
        width = self.size.width
        if not width:
            self._wanted = wanted
            return
        wanted = self._wanted if wanted is None else wanted
        rows = list(self._make(width))
        if rows == self._rows and wanted == self.target:
            return
        top = self.scroll_y
        targets = [row[0].target if row else None for row in rows]
        # A watcher of the row at hand asks for its target at once.
        self._rows = rows
        self.set_options(
            Option(styled(row, self.glyphs), disabled=target is None)
            for row, target in zip(rows, targets, strict=True)
        )
        self.scroll_to(y=top, animate=False, force=True)
        if wanted is not None and wanted in targets:
            self.highlighted = targets.index(wanted)
        else:
            self.action_first()

    # What stands behind the last row that can be chosen is there to be read, too.

    def action_cursor_down(self) -> None:
        """Move to the next row; where there is none, to what stands behind it."""
        last = not any(row and row[0].target for row in self._rows[(self.highlighted or 0) + 1 :])
        if last and self.scroll_y < self.max_scroll_y:
            self.scroll_relative(y=1, animate=False)
        else:
            super().action_cursor_down()

    def action_first(self) -> None:
        """Move to the first row, what stands before it in view."""
        super().action_first()
        self.scroll_home(animate=False)

    def action_last(self) -> None:
        """Move to the last row, what stands behind it in view."""
        super().action_last()
        self.scroll_end(animate=False)

    def on_resize(self, _: events.Resize) -> None:
        """Make the rows anew for another width."""
        self._remake(self.target)

    def render_line(self, y: int) -> Strip:
        """Return one line, a mark before it where the keys go to it."""
        strip = super().render_line(y)
        if self.has_focus and y + self.scroll_offset.y == self.highlighted:
            style = next((segment.style for segment in strip), None)
            strip = Strip([Segment(">", style), *strip.crop(1)])
        return with_mark(strip, more_mark(self, y, self.glyphs), self.rich_style)

    def on_click(self, event: events.Click) -> None:
        """Stand on what was clicked; a second click opens it."""
        clicked = event.style.meta.get("option")
        if clicked is not None and clicked != self.highlighted and self._rows[clicked][0].target:
            event.prevent_default()
            self.highlighted = clicked
