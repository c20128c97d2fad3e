"""What changed between the last run and this one: findings new, fixed, still there."""

from collections.abc import Iterator
from typing import Literal

from attrs import frozen

from pincheck.batch.store import Store

FindingChange = Literal["new", "fixed", "still there"]

_FINDINGS = """
SELECT outcomes.id AS id, json_extract(value, '$.rule') AS rule,
       json_extract(value, '$.spots') AS spots
FROM outcomes JOIN results USING (key), json_each(record, '$.findings') WHERE run = {run}
"""
_CHECKED = """
SELECT id FROM outcomes JOIN results USING (key)
WHERE run = {run} AND json_extract(record, '$.state') != 'could not check'
"""


@frozen
class Changes:
    """Counts of findings in submissions that both runs could check, and of submissions."""

    new: int
    fixed: int
    still_there: int
    came: int
    went: int


def changes(store: Store) -> Changes | None:
    """Return what changed since the last run; None where there was none.

    A finding is the same while its rule and what it is about stay the same, whatever becomes of
    its line and its figures. What could not be checked in one of the runs tells nothing.
    """
    if not store.ran_before:
        return None
    return Changes(
        new=_count(store, _sql(store, "new")),
        fixed=_count(store, _sql(store, "fixed")),
        still_there=_count(store, _sql(store, "still there")),
        came=_count(store, _came(store.run, store.run - 1)),
        went=_count(store, _came(store.run - 1, store.run)),
    )


def listed(store: Store, change: FindingChange) -> Iterator[tuple[str, str]]:
    """Yield (submission's id, rule) of every finding that changed so, by id."""
    sql = f"SELECT id, rule FROM ({_sql(store, change)}) ORDER BY id, rule"
    yield from store.db.execute(sql)


def _sql(store: Store, change: FindingChange) -> str:
    now, before = store.run, store.run - 1
    how = {"new": (now, "EXCEPT", before), "fixed": (before, "EXCEPT", now)}
    one, word, other = how.get(change, (now, "INTERSECT", before))
    return (
        f"SELECT * FROM ({_FINDINGS.format(run=one)} {word} {_FINDINGS.format(run=other)}) "
        f"WHERE id IN ({_CHECKED.format(run=now)}) AND id IN ({_CHECKED.format(run=before)})"
    )


def _came(run: int, other: int) -> str:
    return (
        f"SELECT id FROM outcomes WHERE run = {run} "
        f"EXCEPT SELECT id FROM outcomes WHERE run = {other}"
    )


def _count(store: Store, sql: str) -> int:
    (found,) = store.db.execute(f"SELECT count(*) FROM ({sql})").fetchone()
    return int(found)
