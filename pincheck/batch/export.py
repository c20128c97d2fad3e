"""What is kept of a batch: JSON Lines, and CSV no cell of which can be a formula."""

import csv
import io
import json
import re
from collections.abc import Iterator

from pincheck.batch.record import SCHEMA_VERSION, worst
from pincheck.batch.store import OutcomeRow, Store
from pincheck.reports.json import Json


def json_lines(store: Store) -> Iterator[str]:
    """Yield one line a submission, keys in a fixed order; `submission.schema.json` describes it."""
    for row in store.rows():
        yield json.dumps(record(row), ensure_ascii=True, separators=(", ", ": "))


def record(row: OutcomeRow) -> Json:
    """Return the whole record of one submission."""
    return {
        "schema_version": SCHEMA_VERSION,
        "id": row.id,
        "path": row.path,
        "note": row.note,
        "assembly": row.assembly,
        "assigned_by": row.assigned_by,
        **row.record,
    }


COLUMNS = (
    "id",
    "path",
    "assembly",
    "state",
    "danger",
    "fault",
    "advice",
    "not_checked",
    "rules",
    "worst",
    "reason",
    "note",
)

_FORMULA = re.compile(
    r"""(^|[;\t\r\n])(?=[\s"'\u200b\u2060\ufeff]*[-=+@\uff1d\uff0b\uff0d\uff20]|^[\t\r\n])"""
)
"""What spreadsheets take for the start of a formula, the full-width forms included.

It may stand behind blanks and quotes, and behind what parts cells in another country's settings.
Source: OWASP, "CSV Injection".
"""


def csv_lines(store: Store) -> Iterator[str]:
    """Yield the header and one record a submission, in the order of the input, CRLF-ended."""
    yield _csv_line(COLUMNS)
    for row in store.rows():
        yield _csv_line(map(cell, _csv_cells(row)))


def cell(text: str) -> str:
    """Return a text that a spreadsheet shows and does not evaluate."""
    return _FORMULA.sub(r"\1'", text)


def _csv_cells(row: OutcomeRow) -> Iterator[str]:
    record = row.record
    findings = record["findings"]
    yield from (row.id, row.path, row.assembly, record["state"])
    yield from (str(record["counts"][name]) for name in COLUMNS[4:8])
    yield " ".join(dict.fromkeys(finding["rule"] for finding in findings))
    yield found["message"] if (found := worst(findings)) else ""
    yield from (record["reason"], row.note)


def _csv_line(cells: object) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerow(cells)  # type: ignore[arg-type]
    return out.getvalue()
