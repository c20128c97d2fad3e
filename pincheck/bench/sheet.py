"""The first-power-on sheet: the walk on paper, with room for what is read, as text or Markdown."""

import re
from collections.abc import Iterator
from itertools import groupby

from pincheck.bench.record import STOP, WalkRecord
from pincheck.bench.step import WalkStep
from pincheck.bench.text import step_lines
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.reports import sentences
from pincheck.reports.text import wrap

BLANK = "________"
STOPS = (
    "Where a figure lies outside what is expected, or something is not as the step says: switch "
    "off, pull the mains plug, and go no further before it is understood and mended."
)


@frozen
class Phase:
    """Steps that follow each other with the power off, or on."""

    title: str
    steps: tuple[tuple[int, WalkStep], ...]


def phases(record: WalkRecord) -> Iterator[Phase]:
    """Yield the steps with their numbers, cut where the power changes."""
    numbered = list(enumerate(record.steps, 1))
    for power, own in groupby(numbered, key=lambda it: it[1].power):
        yield Phase(f"Power {power}", tuple(own))


def lead(record: WalkRecord) -> Iterator[str]:
    """Yield what stands above all steps: the answer on paper, cautions, what has no step."""
    yield sentences.headline(record.result)
    yield from sentences.cautions(record.result)[:1]
    if mains := record.mains():
        yield mains
    yield STOPS


def title(record: WalkRecord) -> str:
    """Return the heading of a sheet."""
    return f"First power-on of {record.result.assembly.name}, {record.result.claims.style} style"


def asked(step: WalkStep) -> str:
    """Return the line to fill in."""
    if step.expected:
        return f"expected: {step.expected}   read: {BLANK}"
    return "as it says:  [ ] yes  [ ] no"


def text(record: WalkRecord) -> Iterator[str]:
    """Yield the sheet as lines of text."""
    yield from (*wrap(title(record)), "", f"machine number: {BLANK}   date: {BLANK}   by: {BLANK}")
    for said in lead(record):
        yield from ("", *wrap(said))
    for phase in phases(record):
        yield from ("", phase.title.upper())
        for number, step in phase.steps:
            yield from ("", *wrap(f"{number}. [ ] {step.title}"))
            for line in step_lines(step):
                if not line.startswith("expected: "):
                    yield from wrap(line, "       ")
            yield f"       {asked(step)}"
    if record.stops:
        yield from ("", *wrap(f"!! {STOP}"))
        for stop in record.stops:
            yield from wrap(f"- {stop}", "  ")


def markdown(record: WalkRecord) -> Iterator[str]:
    """Yield the sheet as lines of Markdown (CommonMark)."""
    yield from (f"# {_plain(title(record))}", "")
    yield f"machine number: {_plain(BLANK)} date: {_plain(BLANK)} by: {_plain(BLANK)}"
    for said in lead(record):
        yield from ("", _plain(said))
    for phase in phases(record):
        yield from ("", f"## {phase.title}", "")
        for number, step in phase.steps:
            pad = " " * (len(str(number)) + 2)
            yield f"{number}. **{_plain(step.title)}**: {_plain(step.do)}"
            for label, point in zip("AB", step.points, strict=False):
                yield f"{pad}- {label}: {_plain(str(point))}"
            for word, lines in (("type", step.commands), ("after it", step.undo)):
                if lines:
                    yield f"{pad}- {word}: {', '.join(f'`{printable(it)}`' for it in lines)}"
            if step.note:
                yield f"{pad}- {_plain(step.note)}"
            yield f"{pad}- {_plain(asked(step))}"
    if record.stops:
        yield from ("", f"**{STOP}**", "")
        yield from (f"- {_plain(stop)}" for stop in record.stops)


def _plain(text: str) -> str:
    """Return a text that Markdown shows as it stands."""
    return re.sub(r"([\\`*_\[\]<>|#])", r"\\\1", printable(text))
