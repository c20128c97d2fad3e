"""The walk to the first power-on: measure, type the reading, see at once what it means."""

from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.widget import Widget
from textual.widgets import Input

from pincheck.bench import record as records
from pincheck.bench.judge import ReadingError
from pincheck.bench.record import Record
from pincheck.bench.step import Step
from pincheck.screen import walk_page
from pincheck.screen.page import Page, Sheet, text
from pincheck.screen.places.base import Place
from pincheck.screen.places.save import Save
from pincheck.screen.view import PageView
from pincheck.screen.write_up import fit

ABOUT = "The walk with its readings: as text, or as JSON where the name ends in .json."


class WalkPlace(Place):
    """Steps above, the step at hand below, the line for its reading under it."""

    HERE = "bench walk"
    HINTS = ("Enter type a reading", "t tick", "s save the walk", "Esc back", "? keys")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "tick", "tick the step as done, or take the tick away"),
        Binding("s", "save_walk", "save the walk to a file"),
    ]

    def body(self) -> Iterable[Widget]:
        """Yield list, step and the line to type in."""
        glyphs = self.desk.glyphs
        yield PageView(glyphs, focus=False, id="summary")
        yield Container(PageView(glyphs, id="steps"), PageView(glyphs, id="step"), id="walk-halves")
        yield Input(id="reading", select_on_focus=False)

    @property
    def record(self) -> Record | None:
        """The walk of this sitting."""
        return self.session.walk()

    def on_mount(self) -> None:
        """Begin at the list."""
        super().on_mount()
        self.query_one("#reading").display = False
        self.view("steps").focus()

    def draw(self) -> None:
        """Show the steps as they stand."""
        record, glyphs = self.record, self.desk.glyphs
        if record is None:
            return
        self.view("summary").show(
            lambda width: Sheet([text(fit(f" {record.summary()}", width), "title")])
        )
        self.view("steps").show(lambda width: walk_page.steps(record, width, glyphs))
        self._show_step()

    @property
    def step(self) -> Step | None:
        """The step at hand."""
        record, target = self.record, self.view("steps").target
        return next((s for s in record.steps if s.id == target), None) if record else None

    def _show_step(self) -> None:
        self.view("step").show(self._step_page)

    def _step_page(self, width: int) -> Page:
        record, step = self.record, self.step
        if record is None or step is None:
            return Sheet()
        return Sheet(list(walk_page.step_lines(step, record, width)))

    @on(PageView.Stood, "#steps")
    def show_step(self) -> None:
        """Show the step that the cursor came to."""
        self.view("step").scroll_to(y=0, animate=False)
        self._show_step()

    @on(PageView.Opened, "#steps")
    def begin(self) -> None:
        """Type a reading, or tick a step that has none."""
        if self.step is None:
            return
        if not self.step.unit:
            self.action_tick()
            return
        field = self.query_one("#reading", Input)
        field.placeholder = f"reading in {self.step.unit}" + (
            ", or open" if self.step.unit == "ohm" else ""
        )
        field.value = ""
        field.display = True
        field.focus()

    @on(Input.Submitted, "#reading")
    def take(self, message: Input.Submitted) -> None:
        """Judge a reading and go on where it agrees."""
        record, step = self.record, self.step
        if record is None or step is None:
            return
        if message.value.strip():
            try:
                judgement = record.read(step, message.value)
            except ReadingError as error:
                self.say(str(error), "fault")
                return
            agrees = judgement.state == "agrees"
            self._done_typing(on=agrees)
            self.say(f"{step.title}: {judgement.said}", "agrees" if agrees else "danger")
        else:
            self._done_typing(on=False)

    def _done_typing(self, *, on: bool) -> None:
        self.query_one("#reading").display = False
        view = self.view("steps")
        view.focus()
        self.draw()
        if on:
            view.action_go(0, 1)

    def action_tick(self) -> None:
        """Tick the step, or take tick and reading away."""
        record, step = self.record, self.step
        if record is None or step is None:
            return
        record.tick(step)
        ticked = step.id in record.ticked
        self.draw()
        if ticked:
            self.view("steps").action_go(0, 1)

    def action_leave(self) -> None:
        """Stop typing, else go back."""
        if self.query_one("#reading").display:
            self._done_typing(on=False)
        else:
            super().action_leave()

    def action_save_walk(self) -> None:
        """Ask where to save the walk."""
        if record := self.record:
            place = Save("first-power-on.txt", ABOUT, partial(records.saved, record))
            self.app.push_screen(place, self._say_saved)

    def _say_saved(self, path: Path | None) -> None:
        if path:
            self.say(f"saved: {path}")
