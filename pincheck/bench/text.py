"""A walk as lines of text: what was read and what it means."""

from collections.abc import Iterator

from pincheck.bench.record import STOP, WalkRecord
from pincheck.bench.step import WalkStep
from pincheck.reports import sentences


def text(record: WalkRecord) -> Iterator[str]:
    """Yield the walk as lines of text."""
    result = record.result
    yield f"First power-on of {result.machine}, {result.claims.style} style"
    yield record.headline
    yield record.summary()
    yield from sentences.cautions(result)[:1]
    if mains := record.mains():
        yield mains
    power = ""
    for step in record.steps:
        if step.power != power:
            power = step.power
            yield from ("", f"Power {power}")
        yield from _step_lines(step, record)
    if record.stops:
        yield ""
        yield STOP
        yield from (f"  - {stop}" for stop in record.stops)


def _step_lines(step: WalkStep, record: WalkRecord) -> Iterator[str]:
    mark = "!" if record.failed(step) else " "
    yield f"[{'x' if record.done(step) else mark}] {step.title}"
    yield from (f"    {line}" for line in step_lines(step))
    if judgement := record.judgement(step):
        yield f"    read: {judgement.said}"


def step_lines(step: WalkStep) -> Iterator[str]:
    """Yield what to do at a step, where, what to type at the machine, and what to expect."""
    yield step.do
    yield from (f"{label} {point}" for label, point in zip("AB", step.points, strict=False))
    if step.commands:
        yield f"type: {'; '.join(step.commands)}"
    if step.undo:
        yield f"after it: {'; '.join(step.undo)}"
    if step.expected:
        yield f"expected: {step.expected}"
    if step.note:
        yield step.note
