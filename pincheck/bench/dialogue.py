"""The walk line by line: a step is told, its reading asked for, and what it means said at once."""

from collections.abc import Callable, Iterable, Iterator
from typing import Protocol

from pincheck.bench.record import STOP, WalkRecord
from pincheck.bench.step import Judgement, ReadingError, WalkStep
from pincheck.bench.text import step_lines
from pincheck.reports import sentences

HELP = (
    "A reading as the meter shows it (14.6, 98k, 4k7, open), yes or no for what is looked at;",
    "skip leaves a step open, back returns to the one before, quit ends here.",
)


class Person(Protocol):
    """Whoever stands at the bench."""

    def told(self, lines: Iterable[str]) -> None: ...

    def asked(self, question: str) -> str:
        """Return the line that was typed.

        Raises:
            EOFError: there will be no more.
        """
        ...


Answering = Callable[[WalkStep], Judgement | None]
"""What answers a step in the person's place; None where the person has to."""


def by_line(record: WalkRecord, person: Person, answering: Answering = lambda _: None) -> None:
    """Go through every step that is open or was wrong, until done, stopped or left.

    Raises:
        UnreadableError, WriteRefusedError: a reading cannot be kept.
    """
    person.told(_head(record))
    told: list[WalkStep] = []
    while step := _next(record, told):
        person.told(("", _number(record, step), *step_lines(step)))
        told.append(step)
        try:
            if not _answered(record, step, person, answering):
                told = told[:-2]
        except EOFError:
            person.told(("", _left(record)))
            return
    person.told(_end(record))


def _next(record: WalkRecord, told: list[WalkStep]) -> WalkStep | None:
    ids = {step.id for step in told}
    wanted = (s for s in record.steps if s.id not in ids)
    return next((s for s in wanted if s.id not in record.answers or record.failed(s)), None)


def _answered(record: WalkRecord, step: WalkStep, person: Person, answering: Answering) -> bool:
    """Ask until a step is answered or left open; False for back to the one before.

    Raises:
        EOFError: the person leaves.
    """
    if judgement := answering(step):
        person.told((_said(judgement),))
        return True
    while True:
        typed = person.asked(f"read ({step.unit}): " if step.unit else "as it says? (yes/no): ")
        match typed.strip().casefold():
            case "quit" | "q":
                raise EOFError
            case "back" | "b":
                return False
            case "skip" | "s" | "":
                return True
            case "?" | "help":
                person.told(HELP)
            case _:
                try:
                    person.told((_said(record.read(step, typed)),))
                except ReadingError as error:
                    person.told((str(error),))
                else:
                    return True


def _said(judgement: Judgement) -> str:
    return judgement.said if judgement.state == "agrees" else f"! WRONG: {judgement.said}"


def _number(record: WalkRecord, step: WalkStep) -> str:
    at = record.all_steps.index(step) + 1
    return f"{at} of {len(record.all_steps)}, power {step.power}: {step.title}"


def _head(record: WalkRecord) -> Iterator[str]:
    yield f"First power-on of {record.result.machine}"
    yield record.headline
    yield from sentences.cautions(record.result)[:1]
    if mains := record.mains():
        yield mains
    yield record.summary()
    yield _kept(record)
    yield from HELP


def _kept(record: WalkRecord) -> str:
    if record.file:
        return f"Readings are kept in {record.file}."
    return "Readings are not kept; --keep FILE keeps them."


def _left(record: WalkRecord) -> str:
    return f"Left. {record.summary()}. {_kept(record)}"


def _end(record: WalkRecord) -> Iterator[str]:
    yield ""
    if stops := record.stops:
        yield f"!! {STOP}"
        yield from (f"  - {stop}" for stop in stops)
    elif record.open_steps:
        yield f"Not finished: {sentences.plural(len(record.open_steps), 'step')} left open."
    else:
        yield "Every step is as it should be."
    yield record.summary()
