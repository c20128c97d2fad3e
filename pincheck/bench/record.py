"""A walk as it was walked: ticks, readings and what they meant, to keep and to hand on."""

import json
from collections.abc import Iterator
from pathlib import Path

from attrs import define, field

from pincheck.bench.judge import Judgement, judge, parse
from pincheck.bench.step import Step
from pincheck.bench.walk import ROOM_ID, walk
from pincheck.model.finding import Result
from pincheck.reports import words

SCHEMA_VERSION = 1


@define(eq=False)
class Record:
    """The steps of one machine with what was read and ticked, by the steps' identifiers."""

    result: Result
    steps: tuple[Step, ...] = ()
    readings: dict[str, float] = field(factory=dict)
    ticked: set[str] = field(factory=set)

    def __attrs_post_init__(self) -> None:
        self.renew(self.result)

    def renew(self, result: Result) -> None:
        """Compute the steps anew for another check; readings stay with their steps."""
        self.result = result
        self.steps = walk(result, self.readings.get(ROOM_ID))

    def read(self, step: Step, typed: str) -> Judgement:
        """Take a typed reading, tick the step and say what it means.

        Raises:
            ReadingError: what was typed is none; nothing changed.
        """
        reading = parse(typed, step.unit)
        self.readings[step.id] = reading
        self.ticked.add(step.id)
        if step.id == ROOM_ID:
            self.renew(self.result)
        return judge(step, reading)

    def tick(self, step: Step) -> None:
        """Tick a step as done, or take the tick and the reading away."""
        if step.id in self.ticked:
            self.ticked.discard(step.id)
            self.readings.pop(step.id, None)
        else:
            self.ticked.add(step.id)

    def judgement(self, step: Step) -> Judgement | None:
        """Return what a step's reading means, None without one."""
        reading = self.readings.get(step.id)
        return None if reading is None else judge(step, reading)

    def summary(self) -> str:
        """Return in one line how far the walk is and what disagreed."""
        done = sum(step.id in self.ticked for step in self.steps)
        judged = [j for j in map(self.judgement, self.steps) if j]
        wrong = sum(j.state == "contradicts" for j in judged)
        return f"{done} of {len(self.steps)} steps done" + (
            f"; {words.plural(len(judged), 'reading')}, {wrong} not as expected" if judged else ""
        )


def text(record: Record) -> Iterator[str]:
    """Yield the walk as lines of text."""
    result = record.result
    yield f"First power-on of {result.machine}, {result.claims.style} style"
    yield words.headline(result)
    yield record.summary()
    yield from words.cautions(result)
    for power in ("off", "on"):
        yield ""
        yield f"Power {power}"
        for step in record.steps:
            if step.power == power:
                yield from _step_lines(step, record)


def _step_lines(step: Step, record: Record) -> Iterator[str]:
    yield f"[{'x' if step.id in record.ticked else ' '}] {step.title}"
    yield f"    {step.do}"
    yield from (f"    {label} {point}" for label, point in zip("AB", step.points, strict=False))
    if step.expected:
        yield f"    expected: {step.expected}"
    if step.note:
        yield f"    {step.note}"
    if judgement := record.judgement(step):
        yield f"    read: {judgement.said}"


def document(record: Record) -> str:
    """Return the walk as one JSON document."""
    return (
        json.dumps(
            {
                "schema_version": SCHEMA_VERSION,
                "machine": record.result.machine,
                "headline": words.headline(record.result),
                "steps": [_step(step, record) for step in record.steps],
            },
            indent=2,
        )
        + "\n"
    )


def _step(step: Step, record: Record) -> dict[str, object]:
    judgement = record.judgement(step)
    reading = judgement.reading if judgement else None
    return {
        "id": step.id,
        "power": step.power,
        "role": step.role,
        "title": step.title,
        "points": [str(point) for point in step.points],
        "unit": step.unit,
        "low": step.low,
        "high": step.high,
        "done": step.id in record.ticked,
        "reading": "open" if reading == float("inf") else reading,
        "state": judgement.state if judgement else "not checked",
    }


def saved(record: Record, path: Path) -> str:
    """Return what goes into a file of that name: JSON for `.json`, else text."""
    if path.suffix.lower() == ".json":
        return document(record)
    return "\n".join(text(record)) + "\n"
