"""Pages of the bench walk: the list of steps, and the step at hand."""

from collections.abc import Iterator

from pincheck.bench.judge import Judgement
from pincheck.bench.record import STOP, Record
from pincheck.bench.step import Step
from pincheck.bench.walk import ROOM_ID
from pincheck.reports import words
from pincheck.reports.glyphs import Glyphs
from pincheck.screen.detail import number_lines
from pincheck.screen.page import Line, Page, Piece, Sheet, Tone, text
from pincheck.screen.write_up import fit, heading, labelled, paragraph


def steps(record: Record, width: int, glyphs: Glyphs) -> Page:
    """Return a line for each step under a line for each half, then what stops the walk.

    Every step is a target.
    """
    lines: list[Line] = []
    power = ""
    for step in record.steps:
        if step.power != power:
            power = step.power
            lines.append(text(f" Power {power}", "title"))
        lines.append(_line(step, record, width, glyphs))
    if stops := record.stops:
        lines += paragraph(f"!! {STOP}", width, tone="danger")
        for stop in stops:
            lines += paragraph(f"- {stop}", width)
    if mains := record.mains():
        lines += paragraph(mains, width, tone="fault")
    return Sheet(lines)


def _tone(judgement: Judgement | None) -> Tone:
    if judgement is None:
        return ""
    return "agrees" if judgement.state == "agrees" else "danger"


def _line(step: Step, record: Record, width: int, glyphs: Glyphs) -> Line:
    done = step.id in record.ticked
    judgement = record.judgement(step)
    head = f" [{glyphs.done if done else ' '}] "
    tail = step.expected
    if judgement:
        tail = "agrees" if judgement.state == "agrees" else "! CONTRADICTS"
    room = width - len(head) - 21
    tone = _tone(judgement)
    return (
        Piece(head, "strong", step.id, whole=True),
        Piece(fit(step.title, room) + " ", "dim" if done else ""),
        Piece(fit(tail, 20), tone),
    )


def step_lines(step: Step, record: Record, width: int) -> Iterator[Line]:
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
