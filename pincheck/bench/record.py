"""A walk as it was walked: ticks, readings and what they meant, to keep and to hand on."""

import json
from collections.abc import Iterator
from pathlib import Path

from attrs import define, field

from pincheck.analysis import roles
from pincheck.bench.step import Judgement, WalkStep, judge, parse
from pincheck.bench.walk import ROOM_ID, on_mains, walk
from pincheck.model.finding import Finding, Result, Severity
from pincheck.reports import sentences

SCHEMA_VERSION = 1
STOP = "Stop here: no power before this is mended and checked again."


@define(eq=False)
class WalkRecord:
    """The steps of one machine with what was read and ticked, by the steps' identifiers.

    `steps` end where the walk has to stop, `stops` says why: one line for each thing to mend.
    `left_out` are the roles that have no step because they are on mains.
    """

    result: Result
    left_out: tuple[str, ...] = ()
    _all: tuple[WalkStep, ...] = ()
    readings: dict[str, float] = field(factory=dict)
    ticked: set[str] = field(factory=set)

    def __attrs_post_init__(self) -> None:
        self.renew(self.result)

    def renew(self, result: Result) -> None:
        """Compute the steps anew for another check; readings stay with their steps."""
        self.result = result
        self.left_out = on_mains(result)
        self._all = walk(result, self.readings.get(ROOM_ID))

    @property
    def steps(self) -> tuple[WalkStep, ...]:
        """The steps that may be done: none with power while anything found before is wrong."""
        off = tuple(step for step in self._all if step.power == "off")
        if self._dangers() or any(map(self._fails, off)):
            return off
        first = next((n for n, step in enumerate(self._all) if self._fails(step)), len(self._all))
        return self._all[: first + 1]

    @property
    def stops(self) -> tuple[str, ...]:
        """What to mend before the walk goes on, a sentence each; empty where it may."""
        wrong = ((s, self.judgement(s)) for s in self.steps)
        return (
            *(finding.message for finding in self._dangers()),
            *(f"{s.title}: {j.said}." for s, j in wrong if j and j.state == "contradicts"),
        )

    def _dangers(self) -> tuple[Finding, ...]:
        return tuple(f for f in self.result.findings if f.severity is Severity.DANGER)

    def _fails(self, step: WalkStep) -> bool:
        judgement = self.judgement(step)
        return judgement is not None and judgement.state == "contradicts"

    def read(self, step: WalkStep, typed: str) -> Judgement:
        """Take a typed reading and say what it means; only one that agrees ticks the step.

        Raises:
            ReadingError: what was typed is none; nothing changed.
        """
        reading = parse(typed, step.unit)
        judgement = judge(step, reading)
        self.readings[step.id] = reading
        if judgement.state == "agrees":
            self.ticked.add(step.id)
        else:
            self.ticked.discard(step.id)
        if step.id == ROOM_ID:
            self.renew(self.result)
        return judgement

    def tick(self, step: WalkStep) -> None:
        """Tick a step as done, or take the tick and the reading away, a failed one too."""
        if step.id in self.ticked or step.id in self.readings:
            self.ticked.discard(step.id)
            self.readings.pop(step.id, None)
        else:
            self.ticked.add(step.id)

    def judgement(self, step: WalkStep) -> Judgement | None:
        """Return what a step's reading means, None without one."""
        reading = self.readings.get(step.id)
        return None if reading is None else judge(step, reading)

    def summary(self) -> str:
        """Return in one line how far the walk is and what disagreed."""
        done = sum(step.id in self.ticked for step in self.steps)
        judged = [j for j in map(self.judgement, self.steps) if j]
        wrong = sum(j.state == "contradicts" for j in judged)
        stop = "; stops before power on" if len(self.steps) < len(self._all) else ""
        return f"{done} of {len(self._all)} steps done{stop}" + (
            f"; {sentences.plural(len(judged), 'reading')}, {wrong} not as expected"
            if judged
            else ""
        )

    def mains(self) -> str:
        """Return which parts have no step and why; empty where nothing is on mains."""
        if self.left_out:
            named = roles.listed([f"the {roles.name(role)}" for role in self.left_out])
            return f"No step for {named}, on mains. {sentences.CAUTIONS[1]}"
        return "".join(sentences.cautions(self.result)[1:])


def text(record: WalkRecord) -> Iterator[str]:
    """Yield the walk as lines of text."""
    result = record.result
    yield f"First power-on of {result.machine}, {result.claims.style} style"
    yield sentences.headline(result)
    yield record.summary()
    yield from sentences.cautions(result)[:1]
    if mains := record.mains():
        yield mains
    for power in ("off", "on"):
        own = [step for step in record.steps if step.power == power]
        if own:
            yield ""
            yield f"Power {power}"
        for step in own:
            yield from _step_lines(step, record)
    if record.stops:
        yield ""
        yield STOP
        yield from (f"  - {stop}" for stop in record.stops)


def _step_lines(step: WalkStep, record: WalkRecord) -> Iterator[str]:
    yield f"[{'x' if step.id in record.ticked else ' '}] {step.title}"
    yield f"    {step.do}"
    yield from (f"    {label} {point}" for label, point in zip("AB", step.points, strict=False))
    if step.expected:
        yield f"    expected: {step.expected}"
    if step.note:
        yield f"    {step.note}"
    if judgement := record.judgement(step):
        yield f"    read: {judgement.said}"


def document(record: WalkRecord) -> str:
    """Return the walk as one JSON document."""
    return (
        json.dumps(
            {
                "schema_version": SCHEMA_VERSION,
                "machine": record.result.machine,
                "headline": sentences.headline(record.result),
                "stopped_by": list(record.stops),
                "on_mains": list(record.left_out),
                "steps": [_step(step, record) for step in record.steps],
            },
            indent=2,
        )
        + "\n"
    )


def _step(step: WalkStep, record: WalkRecord) -> dict[str, object]:
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


def saved(record: WalkRecord, path: Path) -> str:
    """Return what goes into a file of that name: JSON for `.json`, else text."""
    if path.suffix.lower() == ".json":
        return document(record)
    return "\n".join(text(record)) + "\n"
