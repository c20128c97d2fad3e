"""What every place shares: machine and answer on top, keys below, a word when too small."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input

from pincheck.model.finding import Finding, Result
from pincheck.reports import words
from pincheck.screen.first_look import SEVERITY_TONES
from pincheck.screen.page import Line, Page, Sheet, Tone, text
from pincheck.screen.session import Session
from pincheck.screen.view import Maker, PageView
from pincheck.screen.write_up import fit, wrapped

if TYPE_CHECKING:
    from pincheck.screen.app import PincheckApp

SMALLEST = (60, 20)
"""Columns and lines below which nothing sensible fits."""


class Place(Screen[Any]):
    """One place; `HERE` names it, `HINTS` are the keys shown below."""

    HERE: ClassVar[str] = ""
    HINTS: ClassVar[tuple[str, ...]] = ()
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "back"),
        Binding("tab", "app.focus_next", "the other half"),
        Binding("shift+tab", "app.focus_previous", "the other half, backwards", show=False),
        Binding("ctrl+c", "app.quit", "leave", show=False),
        Binding("question_mark", "app.keys", "keys of this place", key_display="?"),
    ]

    _message: str = ""

    @property
    def desk(self) -> "PincheckApp":
        """The application that the place belongs to."""
        return cast("PincheckApp", self.app)

    @property
    def role(self) -> str:
        """The role that one looks at; empty for none."""
        return ""

    @property
    def finding(self) -> Finding | None:
        """The finding that one looks at; None for none."""
        return None

    @property
    def session(self) -> Session:
        """The sitting's state."""
        return self.desk.session

    def compose(self) -> ComposeResult:
        """Yield the bars around the body, and what is shown when all is too small."""
        glyphs = self.desk.glyphs
        yield PageView(glyphs, focus=False, id="bar")
        yield PageView(glyphs, focus=False, id="answer")
        yield from self.body()
        yield PageView(glyphs, focus=False, id="hints")
        yield PageView(glyphs, focus=False, id="small")

    def body(self) -> Iterable[Widget]:
        """Yield the widgets between the bars."""
        raise NotImplementedError

    def draw(self) -> None:
        """Show the session's latest result; called again whenever it changes."""
        raise NotImplementedError

    def view(self, name: str) -> PageView:
        """Return a view of this place."""
        return self.query_one(f"#{name}", PageView)

    def on_mount(self) -> None:
        """Draw once the widgets are there."""
        for field in self.query(Input):
            field.cursor_blink = not self.desk.still
        self.redraw()

    def on_screen_resume(self) -> None:
        """Draw again after another place changed something."""
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
        self._tall("answer", self._answer)

    def _bar(self, width: int) -> Page:
        checked, here = self.session.checked, f" {self.HERE} "
        name = "pincheck"
        if checked:
            name = f"{checked.assembly.name}: {checked.machine.name}, {checked.machine.style} style"
        return Sheet([text(fit(f" {name}", width - len(here)) + here, "strong")])

    def _answer(self, width: int) -> Page:
        lines: list[Line] = []
        result, trouble = self.session.result, self.session.trouble
        for problem in trouble[:2]:
            lines += _wrap(f"! {problem}", width, "fault")
        if trouble and result:
            lines += _wrap("Below is the last check that worked.", width, "strong")
        if self.desk.doing:
            lines += _wrap(f"{self.desk.doing}... (z stops it)", width, "strong")
        if result and not trouble:
            worst = max((f.severity for f in result.findings), default=None)
            mark = f"{words.MARKS[worst]} " if worst else ""
            tone: Tone = SEVERITY_TONES[worst] if worst else _calm(result)
            lines += _wrap(mark + words.headline(result), width, tone)
            if result.problems:
                count = words.plural(len(result.problems), "mistake")
                lines += _wrap(f"! {count} in reading the files (i lists)", width, "fault")
        return Sheet(lines)

    def say(self, said: str, tone: Tone = "strong") -> None:
        """Show a message in place of the keys until the next key."""
        self._message = said
        self._tall("hints", lambda width: Sheet(_wrap(said, width, tone)[:4]))

    def say_hints(self) -> None:
        """Show the keys that matter most here."""
        self._message = ""
        self._tall("hints", lambda width: Sheet([text(_fitting(self.HINTS, width), "dim")]))

    def _tall(self, name: str, make: Maker) -> None:
        view = self.view(name)
        view.styles.height = max(1, make(self.size.width or 80).height)
        view.show(make)

    def on_key(self, _: events.Key) -> None:
        """Put the keys back where a message stood."""
        self.say_hints()

    def on_resize(self, event: events.Resize) -> None:
        """Say so where the terminal is too small."""
        width, height = event.size
        small = width < SMALLEST[0] or height < SMALLEST[1]
        self.set_class(small, "small")
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
            self.view("small").show(lambda w: Sheet(_wrap(said, w, "strong")))
            self.redraw()

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss()


def _fitting(hints: tuple[str, ...], width: int) -> str:
    """Return as many keys as fit, the last one always."""
    *most, last = hints
    while most and len("  ".join((*most, last))) > width - 2:
        most.pop()
    return " " + "  ".join((*most, last))


def _wrap(said: str, width: int, tone: Tone) -> list[Line]:
    return [text(f" {line}", tone) for line in wrapped(said, width - 2)]


def _calm(result: Result) -> Tone:
    agreed = result.tally("agrees") and not result.tally("not checked")
    return "agrees" if agreed else "strong"
