"""The readings of one unit, judged: passed is what was read whole and is right throughout."""

import math
from collections.abc import Mapping
from typing import Literal

from pincheck.bench.step import ReadingError, figure, parse
from pincheck.columns import rows
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span
from pincheck.production.plan import TestPlan, UnitTest
from pincheck.production.plan_files import expected

UnitState = Literal["passed", "failed", "incomplete"]

_COLUMNS = {
    "test": ("test", "id", "name", "step"),
    "reading": ("reading", "value", "measured", "result"),
}
_MORE = {"serial": ("serial", "serial number", "sn", "unit", "uut")}

LONGEST_SERIAL = 64
"""Letters of a serial number: labels and bar codes hold fewer (`common practice`)."""


@frozen
class JudgedUnit:
    """One unit's readings by test, in ohm or V (1 and 0 for yes and no), and what they come to."""

    serial: str
    state: UnitState
    readings: Mapping[str, float]
    failed: tuple[str, ...]
    missing: tuple[str, ...]


def judged(plan: TestPlan, serial: str, readings: Mapping[str, float]) -> JudgedUnit:
    """Return what the readings of a unit come to."""
    failed = [it.id for it in plan.tests if it.id in readings and not passes(it, readings[it.id])]
    missing = [it.id for it in plan.tests if it.id not in readings]
    state: UnitState = "passed"
    if failed or missing:
        state = "failed" if failed else "incomplete"
    return JudgedUnit(serial, state, dict(readings), tuple(failed), tuple(missing))


def passes(test: UnitTest, reading: float) -> bool:
    """Return whether a reading lies in the band of its test."""
    if not test.unit:
        return reading == 1.0
    low = -math.inf if test.low is None else test.low
    high = math.inf if test.high is None else test.high
    return low <= reading <= high


def said(test: UnitTest, reading: float) -> str:
    """Return a failed reading in one sentence."""
    shown = figure(reading, test.unit) if test.unit else "no"
    return f"{test.id} reads {shown}. {test.do} {expected(test)}"


def read(test: UnitTest, typed: str) -> float:
    """Return what was typed or written for a test.

    Raises:
        ReadingError: it is no reading.
    """
    if test.unit:
        return parse(typed, test.unit)
    word = typed.strip().casefold()
    if word in ("y", "yes", "ok", "pass", "1"):
        return 1.0
    if word in ("n", "no", "fail", "0"):
        return 0.0
    raise ReadingError("yes or no is wanted")


def serial_of(written: str) -> str:
    """Return a serial number.

    Raises:
        ReadingError: it is empty, too long, or not printable.
    """
    serial = written.strip()
    if not serial or len(serial) > LONGEST_SERIAL or printable(serial) != serial:
        raise ReadingError(f"a serial number has 1 to {LONGEST_SERIAL} printable letters")
    return serial


def from_table(source: Source, plan: TestPlan, serial: str) -> dict[str, dict[str, float]]:
    """Return the readings of a tester's table by serial number and test.

    `serial` is that of all lines in a table without such a column.

    Raises:
        UnreadableError: a test that the plan does not have, no reading, or one given twice; with
            every mistake up to a bound. Nothing of the table is taken then.
    """
    units: dict[str, dict[str, float]] = {}
    problems: list[Problem] = []

    def wrong(message: str, at: Span, expected: str, near: str = "") -> None:
        line = source.line(at.line)
        problems.append(Problem(source.name, message, at, line, expected, near, fatal=True))

    for row in rows(source, _COLUMNS, _MORE):
        test = plan.find(row.text("test"))
        if test is None:
            message = f"the plan has no test {printable(row.text('test'))!r}"
            near = nearest(row.text("test"), (it.id for it in plan.tests))
            wrong(message, row.place("test"), "an id of the plan", near)
            continue
        try:
            unit = units.setdefault(serial_of(row.text("serial") or serial), {})
            reading = read(test, row.text("reading"))
        except ReadingError as error:
            at = row.place("reading" if row.text("serial") or serial else "serial")
            wrong(
                str(error), at, "a reading" if row.text("serial") or serial else "a serial number"
            )
            continue
        if test.id in unit:
            wrong(f"{test.id} is read twice of one unit", row.place("test"), "one reading")
        unit[test.id] = reading
    if problems:
        raise UnreadableError(tuple(problems[: limits.WIRING_PROBLEMS]))
    return units
