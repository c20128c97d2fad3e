"""The walk to the first power-on: measure, type the reading, see at once what it means."""

from collections.abc import Iterable, Iterator
from functools import partial
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.widget import Widget
from textual.widgets import Input

from pincheck.bench.document import saved
from pincheck.bench.record import STOP, WalkRecord
from pincheck.bench.step import Judgement, ReadingError, WalkStep
from pincheck.bench.walk import ROOM_ID
from pincheck.model.problem import UnreadableError
from pincheck.reports import sentences
from pincheck.reports.glyphs import Glyphs
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.excerpt import number_lines
from pincheck.screen.page import PageLine, TextRun, Tone, fit, heading, labelled, paragraph, text
from pincheck.screen.row_list import RowList
from pincheck.screen.save import SaveScreen
from pincheck.writing.change import WriteRefusedError

ABOUT = "The walk with its readings: as text, or as JSON where the name ends in .json."


class WalkScreen(BaseScreen):
    """Steps above, the step at hand below, the line for its reading under it."""

    HERE = "bench walk"
    HINTS = ("Enter type a reading", "t done", "n wrong", "s save the walk", "Esc back", "? keys")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "tick", "note the step as done, or take back what was noted"),
        Binding("n", "wrong", "what is only looked at is not as the step says"),
        Binding("s", "save_walk", "save the walk to a file"),
    ]

    def body(self) -> Iterable[Widget]:
        """Yield list, step and the line to type in."""
        yield self.page("summary", focus=False)
        steps = RowList(self.session.glyphs, id="steps")
        yield Container(steps, self.page("step"), id="walk-halves")
        yield Input(id="reading", select_on_focus=False)

    @property
    def record(self) -> WalkRecord | None:
        """The walk of this session."""
        return self.session.walk()

    @property
    def field(self) -> Input:
        """The line to type a reading in."""
        return self.query_one("#reading", Input)

    def on_mount(self) -> None:
        """Begin at the list."""
        super().on_mount()
        self.field.display = False
        self.rows("steps").focus()

    def draw(self) -> None:
        """Show the steps as they stand."""
        record, glyphs = self.record, self.session.glyphs
        if record is None:
            return
        said = f" {record.summary()}"
        self.view("summary").show(lambda width: [text(fit(said, width), "title")])
        self.rows("steps").show(lambda width: step_rows(record, width, glyphs))
        self.view("step").show(self._step_page)

    @property
    def step(self) -> WalkStep | None:
        """The step at hand."""
        record, target = self.record, self.rows("steps").target
        return next((s for s in record.steps if s.id == target), None) if record else None

    def _step_page(self, width: int) -> Iterable[PageLine]:
        record, step = self.record, self.step
        return step_page(step, record, width) if record and step else ()

    @on(RowList.OptionHighlighted)
    def show_step(self) -> None:
        """Show the step that the cursor came to."""
        self.view("step").scroll_to(y=0, animate=False)
        self.view("step").show(self._step_page)

    @on(RowList.OptionSelected)
    def begin(self) -> None:
        """Type a reading, or tick a step that has none."""
        if self.step is None:
            return
        if not self.step.unit:
            self.action_tick()
            return
        unit = self.step.unit
        self.field.placeholder = f"reading in {unit}" + (", or open" if unit == "ohm" else "")
        self.field.value = ""
        self.field.display = True
        self.field.focus()

    @on(Input.Submitted, "#reading")
    def take(self, message: Input.Submitted) -> None:
        """Judge a reading and go on where it agrees."""
        record, step = self.record, self.step
        if record is None or step is None:
            return
        if not message.value.strip():
            self._done_typing(on=False)
            return
        self._judge(record, step, message.value)

    def _judge(self, record: WalkRecord, step: WalkStep, typed: str) -> None:
        try:
            judgement = record.read(step, typed)
        except (ReadingError, UnreadableError, WriteRefusedError, OSError) as error:
            self.say(str(error), "fault")
            return
        agrees = judgement.state == "agrees"
        self._done_typing(on=agrees)
        self.draw_answer()
        self.say(f"{step.title}: {judgement.said}", "agrees" if agrees else "danger")

    def _done_typing(self, *, on: bool) -> None:
        self.field.display = False
        self.rows("steps").focus()
        self.draw()
        if on:
            self.rows("steps").action_cursor_down()

    def action_tick(self) -> None:
        """Note the step as done, or take back what was noted or read."""
        record, step = self.record, self.step
        if record is None or step is None:
            return
        try:
            record.tick(step)
        except (UnreadableError, WriteRefusedError, OSError) as error:
            self.say(str(error), "fault")
            return
        self.draw_answer()
        self.draw()
        if record.done(step):
            self.rows("steps").action_cursor_down()

    def action_wrong(self) -> None:
        """Note that what is only looked at is not as it should be."""
        record, step = self.record, self.step
        if record is None or step is None:
            return
        if step.unit:
            self.say("this step is measured: Enter types the reading")
        else:
            self._judge(record, step, "no")

    def action_leave(self) -> None:
        """Stop typing, else go back."""
        if self.field.display:
            self._done_typing(on=False)
        else:
            super().action_leave()

    def action_save_walk(self) -> None:
        """Ask where to save the walk."""
        if record := self.record:
            content = partial(saved, record)
            self.app.push_screen(SaveScreen(self.session, "first-power-on.txt", ABOUT, content))


def step_rows(record: WalkRecord, width: int, glyphs: Glyphs) -> Iterator[PageLine]:
    """Yield a row for each step under a row for each half, then what stops the walk.

    Every step is a target.
    """
    power = ""
    for step in record.steps:
        if step.power != power:
            power = step.power
            yield text(f" Power {power}", "title")
        yield _row(step, record, width, glyphs)
    if stops := record.stops:
        yield from paragraph(f"!! {STOP}", width, tone="danger")
        for stop in stops:
            yield from paragraph(f"- {stop}", width)
    if mains := record.mains():
        yield from paragraph(mains, width, tone="fault")


def _tone(judgement: Judgement | None) -> Tone:
    if judgement is None:
        return ""
    return "agrees" if judgement.state == "agrees" else "danger"


def _row(step: WalkStep, record: WalkRecord, width: int, glyphs: Glyphs) -> PageLine:
    done = record.done(step)
    judgement = record.judgement(step)
    mark = "!" if record.failed(step) else " "
    head = f" [{glyphs.done if done else mark}] "
    tail = step.expected
    if judgement:
        tail = "agrees" if judgement.state == "agrees" else "! CONTRADICTS"
    room = width - len(head) - 21
    tone = _tone(judgement)
    return (
        TextRun(head, "strong", step.id),
        TextRun(fit(step.title, room) + " ", "dim" if done else ""),
        TextRun(fit(tail, 20), tone),
    )


def step_page(step: WalkStep, record: WalkRecord, width: int) -> Iterator[PageLine]:
    """Yield one step: what to do, where, what to expect, what was read and what it means."""
    yield from paragraph(step.do, width, tone="strong")
    for label, point in zip(("probe A", "probe B"), step.points, strict=False):
        yield from labelled(label, str(point), width)
    for label, lines in (("type", step.commands), ("after it", step.undo)):
        for line in lines:
            yield from labelled(label, line, width, "strong")
    if step.expected:
        yield from labelled("expect", step.expected, width, "strong")
    if judgement := record.judgement(step):
        yield from labelled("read", judgement.said, width, _tone(judgement))
    if step.note:
        yield from paragraph(step.note, width, tone="fault")
    if step.id == ROOM_ID:
        for caution in sentences.cautions(record.result):
            yield from paragraph(caution, width)
    if step.numbers:
        yield from heading("How the band comes about")
        for number in step.numbers:
            yield from number_lines(number, width)
