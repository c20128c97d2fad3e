"""What every screen shares: machine and answer on top, keys below, a word when too small.

A screen knows the session that it is given; what needs the application goes there as a message.
"""

from collections.abc import Iterable
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input

from pincheck.model.finding import Finding, Result, Severity
from pincheck.model.printable import printable
from pincheck.reports import sentences
from pincheck.screen.page import TONES, PageLine, PageMaker, Tone, fit, text, wrapped
from pincheck.screen.page_view import PageView
from pincheck.screen.row_list import RowList
from pincheck.screen.session import Session

SMALLEST = (60, 20)
"""Columns and lines below which nothing sensible fits."""


class CheckAgain(Message):
    """Files were written: what is shown of them is old."""


class BaseScreen(Screen[Any]):
    """One screen; `HERE` names it, `HINTS` are the keys shown below."""

    HERE: ClassVar[str] = ""
    HINTS: ClassVar[tuple[str, ...]] = ()
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "back"),
        Binding("tab", "app.focus_next", "the other half"),
        Binding("shift+tab", "app.focus_previous", "the other half, backwards", show=False),
        Binding("ctrl+c", "app.quit", "leave", show=False),
        Binding("question_mark", "app.commands", "keys and commands", key_display="?"),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self._message = ""

    @property
    def role(self) -> str:
        """The role that one looks at; empty for none."""
        return self.finding.role if self.finding else ""

    @property
    def finding(self) -> Finding | None:
        """The finding that one looks at; None for none."""
        return None

    def compose(self) -> ComposeResult:
        """Yield the bars around the body, and what is shown when all is too small."""
        yield self.page("bar", focus=False)
        yield self.page("answer", focus=False)
        yield from self.body()
        yield self.page("hints", focus=False)
        yield self.page("small", focus=False)

    def page(self, name: str, *, focus: bool = True) -> PageView:
        """Return a new view for a page."""
        return PageView(self.session.glyphs, focus=focus, id=name)

    def body(self) -> Iterable[Widget]:
        """Yield the widgets between the bars."""
        yield self.page("page")

    def draw(self) -> None:
        """Show the session's latest result; called again whenever it changes."""
        raise NotImplementedError

    def view(self, name: str) -> PageView:
        """Return a view of this screen."""
        return self.query_one(f"#{name}", PageView)

    def rows(self, name: str) -> RowList:
        """Return a list of this screen."""
        return self.query_one(f"#{name}", RowList)

    def on_mount(self) -> None:
        """Draw once the widgets are there."""
        for field in self.query(Input):
            field.cursor_blink = self.app.animation_level != "none"
        self.redraw()

    def on_screen_resume(self) -> None:
        """Draw again after another screen changed something."""
        if self.is_mounted and self.query("#bar"):
            self.redraw()

    def redraw(self) -> None:
        """Draw bars and body."""
        if not self._message:
            self.say_hints()
        self.view("bar").show(self._bar)
        self.draw_answer()
        self.draw()

    def draw_answer(self) -> None:
        """Show the headline, what is being done, or what went wrong."""
        self._show_whole("answer", self._answer)

    def _bar(self, width: int) -> Iterable[PageLine]:
        checked, here = self.session.checked, f" {self.HERE} "
        name = "pincheck"
        if checked:
            name = f"{checked.assembly.name}: {checked.machine.name}, {checked.machine.style} style"
        yield text(fit(f" {name}", width - len(here)) + here, "strong")

    def _answer(self, width: int) -> Iterable[PageLine]:
        result, trouble, doing = self.session.result, self.session.trouble, self.session.doing
        for problem in trouble[:2]:
            yield from _lines(f"! {problem}", width, "fault")
        if trouble and result:
            yield from _lines("Below is the last check that worked.", width, "strong")
        if doing:
            yield from _lines(f"{doing}... (z stops it)", width, "strong")
        if result and not trouble:
            worst = max((f.severity for f in result.findings), default=None)
            walk = self.session.at_bench
            if walk and walk.wrong:
                worst = Severity.DANGER
            mark = f"{sentences.MARKS[worst]} " if worst else ""
            tone = TONES[worst] if worst else _calm(result)
            said = walk.headline if walk else sentences.headline(result)
            yield from _lines(mark + said, width, tone)
            if slip := sentences.slip(result):
                yield from _lines(slip, width, "strong")
            if result.plug_danger:
                said = f" {printable(result.plug_danger)}"
                yield text(fit(said, width) if len(said) > width else said, "strong")
            if result.problems:
                count = sentences.plural(len(result.problems), "mistake")
                yield from _lines(f"! {count} in reading the files (i lists)", width, "fault")

    def say(self, said: str, tone: Tone = "strong") -> None:
        """Show a message in place of the keys until the next key."""
        self._message = said
        self._show_whole("hints", lambda width: _lines(said, width, tone)[:4])

    def say_hints(self) -> None:
        """Show the keys that matter most here, as many as fit and always the last."""
        *most, last = self.HINTS
        while most and len("  ".join((*most, last))) > (self.size.width or 80) - 2:
            most.pop()
        self._message = ""
        self._show_whole("hints", lambda _: [text(f" {'  '.join((*most, last))}", "dim")])

    def _show_whole(self, name: str, make: PageMaker) -> None:
        view = self.view(name)
        view.styles.height = max(1, len(list(make(self.size.width or 80))))
        view.show(make)

    def on_key(self, _: events.Key) -> None:
        """Put the keys back where a message stood."""
        self.say_hints()

    def on_resize(self, event: events.Resize) -> None:
        """Say so where the terminal is too small."""
        width, height = event.size
        self.set_class(width < SMALLEST[0] or height < SMALLEST[1], "small")
        self.set_class(width >= 78, "wide")
        self.set_class(width >= 120, "broad")
        self.set_class(height >= 40, "tall")
        self.set_class(height < 24, "short")
        if self.query("#small"):
            said = (
                f"This terminal is {width} columns by {height} lines; the screen needs "
                f"{SMALLEST[0]} by {SMALLEST[1]}. Make it larger, or leave with q and run "
                "`pincheck check`."
            )
            self.view("small").show(lambda w: _lines(said, w, "strong"))
            self.redraw()

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss()


def _lines(said: str, width: int, tone: Tone) -> list[PageLine]:
    return [text(f" {line}", tone) for line in wrapped(said, width - 2)]


def _calm(result: Result) -> Tone:
    agreed = result.tally("agrees") and not result.tally("not checked")
    return "agrees" if agreed else "strong"
