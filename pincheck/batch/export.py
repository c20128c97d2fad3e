"""JSON Lines: one record a submission, in the order of the input."""

import json
from collections.abc import Iterator

from pincheck.batch.record import SCHEMA_VERSION
from pincheck.batch.store import OutcomeRow, Store
from pincheck.reports.json import Json


def lines(store: Store) -> Iterator[str]:
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
