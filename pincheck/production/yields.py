"""What the record of a batch comes to: yields, failing tests, export."""

import csv
import io
from collections import Counter
from collections.abc import Iterator
from typing import Any

from pincheck.batch.export import cell
from pincheck.html.page import environment
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.production.record import RecordedUnit, UnitRecord
from pincheck.reports.sentences import plural
from pincheck.reports.text import wrap

_BAR = 30
"""Columns of the longest bar."""

_SHOWN = 40
"""Failing tests drawn."""


@frozen
class BoardYield:
    """Of one revision: units, those that passed at once and in the end, failures by test."""

    board: str
    units: int
    first_pass: int
    passed: int
    failures: tuple[tuple[str, int], ...]


def yields(record: UnitRecord) -> tuple[BoardYield, ...]:
    """Return the yields by revision, in the order of the record."""
    boards = dict.fromkeys(unit.board for unit in record.units)
    return tuple(_of(board, record) for board in boards)


def _of(board: str, record: UnitRecord) -> BoardYield:
    mine = [unit for unit in record.units if unit.board == board]
    first = {unit.serial: unit for unit in reversed(mine)}
    last = {unit.serial: unit for unit in mine}
    failures = Counter(test for unit in mine for test in unit.failed)
    ranked = sorted(failures.items(), key=lambda it: (-it[1], it[0]))
    passed = sum(unit.state == "passed" for unit in last.values())
    at_once = sum(u.state == "passed" and u.attempt == 1 for u in first.values())
    return BoardYield(board, len(last), at_once, passed, tuple(ranked))


def lines(record: UnitRecord) -> Iterator[str]:
    """Yield the yields of each revision, and its failing tests as bars."""
    if not record.units:
        yield "No unit is recorded."
    for it in yields(record):
        yield from wrap(
            f"{it.board}: {plural(it.units, 'unit')}; {_share(it.first_pass, it.units)} passed at "
            f"once, {_share(it.passed, it.units)} in the end."
        )
        most = max((count for _, count in it.failures), default=1)
        for test, count in it.failures[:_SHOWN]:
            bar = "#" * max(1, round(count / most * _BAR))
            yield f"  {count:>5} {bar:<{_BAR}} {printable(test)}"
        if len(it.failures) > _SHOWN:
            yield f"  and {len(it.failures) - _SHOWN} tests that failed less often"
        yield ""


def record_of(record: UnitRecord) -> dict[str, Any]:
    """Return the yields as plain JSON values."""
    return {
        "schema_version": 1,
        "boards": [
            {
                "board": it.board,
                "units": it.units,
                "first_pass": it.first_pass,
                "passed": it.passed,
                "failures": [{"test": test, "count": count} for test, count in it.failures],
            }
            for it in yields(record)
        ],
        "torn_lines": list(record.torn),
    }


def as_svg(record: UnitRecord) -> str:
    """Return the failing tests of every revision as bars, a drawing that stands alone."""
    bars, y = [], 0
    for it in yields(record):
        y += 34
        words = f"{it.units} units, {it.first_pass} passed at once, {it.passed} in the end"
        bars.append((f"{printable(it.board)}: {words}", y, 0, 0))
        most = max((count for _, count in it.failures), default=1)
        for test, count in it.failures[:_SHOWN]:
            y += 22
            bars.append((test, y, round(count / most * 300), count))
    template = environment().get_template("failures.svg")
    return template.render(bars=bars, height=y + 20)


def as_csv(record: UnitRecord) -> Iterator[str]:
    """Yield one line a test of a unit, CRLF-ended; no cell of it is a formula."""
    tests = dict.fromkeys(test for unit in record.units for test in (*unit.readings, *unit.missing))
    head = ("serial", "attempt", "board", "plan", "at", "state", "failed", "not read")
    yield _csv_line((*head, *tests))
    for unit in record.units:
        yield _csv_line((*_cells(unit), *(_reading(unit, test) for test in tests)))


def _cells(unit: RecordedUnit) -> Iterator[str]:
    yield from (unit.serial, str(unit.attempt), unit.board, unit.digest, unit.at, unit.state)
    yield from ("; ".join(unit.failed), "; ".join(unit.missing))


def _reading(unit: RecordedUnit, test: str) -> str:
    reading = unit.readings.get(test)
    if reading is None:
        return ""
    return "open" if reading == float("inf") else f"{reading:.6g}"


def _csv_line(cells: tuple[str, ...]) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerow(map(cell, cells))
    return out.getvalue()


def _share(part: int, whole: int) -> str:
    return f"{part} ({part / whole:.0%})" if whole else "none"
