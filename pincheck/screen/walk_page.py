"""Pages of the bench walk: the list of steps, and the step at hand."""

from collections.abc import Iterator

from pincheck.bench.judge import Judgement
from pincheck.bench.record import STOP, Record
from pincheck.bench.step import Step
from pincheck.bench.walk import ROOM_ID
from pincheck.reports import words
from pincheck.reports.glyphs import Glyphs
from pincheck.screen.excerpt import number_lines
from pincheck.screen.page import PageLine, Run, Tone, fit, heading, labelled, paragraph, text


def step_rows(record: Record, width: int, glyphs: Glyphs) -> Iterator[PageLine]:
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


def _row(step: Step, record: Record, width: int, glyphs: Glyphs) -> PageLine:
    done = step.id in record.ticked
    judgement = record.judgement(step)
    head = f" [{glyphs.done if done else ' '}] "
    tail = step.expected
    if judgement:
        tail = "agrees" if judgement.state == "agrees" else "! CONTRADICTS"
    room = width - len(head) - 21
    tone = _tone(judgement)
    return (
        Run(head, "strong", step.id),
        Run(fit(step.title, room) + " ", "dim" if done else ""),
        Run(fit(tail, 20), tone),
    )


def step_page(step: Step, record: Record, width: int) -> Iterator[PageLine]:
    """Yield one step: what to do, where, what to expect, what was read and what it means."""
    yield from paragraph(step.do, width, tone="strong")
    for label, point in zip(("probe A", "probe B"), step.points, strict=False):
        yield from labelled(label, str(point), width)
    if step.expected:
        yield from labelled("expect", step.expected, width, "strong")
    if judgement := record.judgement(step):
        yield from labelled("read", judgement.said, width, _tone(judgement))
    if step.note:
        yield from paragraph(step.note, width, tone="fault")
    if step.id == ROOM_ID:
        for caution in words.cautions(record.result):
            yield from paragraph(caution, width)
    if step.numbers:
        yield from heading("How the band comes about")
        for number in step.numbers:
            yield from number_lines(number, width)
