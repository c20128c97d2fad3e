"""A batch at the terminal: a line a submission, worst first, then its sums and changes."""

from collections.abc import Iterator
from itertools import islice
from typing import Literal

from pincheck.batch.record import STATES, SubmissionState, worst
from pincheck.batch.store import OutcomeRow, Store
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.reports.sentences import CAUTIONS, plural
from pincheck.reports.text import Ink, wrap

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


_MOST = 10

_STATED: dict[SubmissionState, str] = {
    "danger": "with a danger",
    "fault": "with a fault",
    "could not check": "could not be checked",
    "not judged": "with heaters, sensors or fans not judged",
    "advice": "with advice",
    "not all checked": "not all checked",
    "agrees": "in agreement",
}
"""What is said of submissions by their state."""

_STATES = """
SELECT rank, count(*) FROM outcomes JOIN results USING (key) WHERE run = ? GROUP BY rank
"""
_RULES = """
SELECT json_extract(record, '$.revisions') AS revisions, json_extract(value, '$.rule') AS rule,
       json_extract(value, '$.severity'), count(DISTINCT position) AS submissions
FROM outcomes JOIN results USING (key), json_each(record, '$.findings')
WHERE run = ? GROUP BY revisions, rule ORDER BY revisions, submissions DESC, rule
"""
_KEYS = """
SELECT value, count(DISTINCT position) AS submissions
FROM outcomes JOIN results USING (key), json_each(record, '$.not_understood')
WHERE run = ? GROUP BY value ORDER BY submissions DESC, value LIMIT ?
"""


def summary(store: Store) -> Iterator[str]:
    """Yield the summary of this run."""
    counts = dict(store.db.execute(_STATES, (store.run,)))
    parts = [
        f"{counts[rank]} {_STATED[state]}"
        for rank, state in reversed(list(enumerate(STATES)))
        if rank in counts
    ]
    yield from wrap(f"{plural(sum(counts.values()), 'submission')}: {', '.join(parts)}.")
    yield from _rules_lines(store)
    yield from _keys_lines(store)
    yield from _change_lines(store)
    yield ""
    yield from wrap(CAUTIONS[0])


def _rules_lines(store: Store) -> Iterator[str]:
    of, listed_so_far = None, 0
    for revisions, rule, severity, submissions in store.db.execute(_RULES, (store.run,)):
        if revisions != of:
            of, listed_so_far = revisions, 0
            yield ""
            yield f"Rules that fire most with {printable(revisions)}:"
        listed_so_far += 1
        if listed_so_far <= _MOST:
            yield f"  {submissions:>5}  {rule} ({severity})"


def _keys_lines(store: Store) -> Iterator[str]:
    found = list(store.db.execute(_KEYS, (store.run, _MOST)))
    if found:
        yield ""
        yield "Keys that look relevant and that nobody understood:"
    for key, submissions in found:
        yield f"  {submissions:>5}  {printable(key)}"


def _change_lines(store: Store) -> Iterator[str]:
    found = changes(store)
    if found is None:
        return
    yield ""
    yield from wrap(
        f"Since the last run: {found.new} new, {found.fixed} fixed, {found.still_there} still "
        f"there; {plural(found.came, 'submission')} more, {found.went} no longer here."
    )
    counts: tuple[tuple[FindingChange, int], ...] = (("new", found.new), ("fixed", found.fixed))
    for change, count in counts:
        for id_, rule in islice(listed(store, change), _MOST):
            yield f"  {change:<5}  {printable(id_)}: {rule}"
        if count > _MOST:
            yield f"  and {count - _MOST} more {change}"


_SHOWN: dict[SubmissionState, tuple[str, str]] = {
    "danger": ("!! danger", "red"),
    "fault": ("!  fault", "yellow"),
    "could not check": ("x  could not check", "yellow"),
    "not judged": ("?  not judged", "yellow"),
    "advice": ("~  advice", "bold"),
    "not all checked": ("?  not all checked", "dim"),
    "agrees": ("   agrees", "green"),
}
_ID_CHARS = 20


def table(
    store: Store, ink: Ink, width: int | None = None, first: int | None = None
) -> Iterator[str]:
    """Yield the `first` lines of the table, cut to `width` columns where one is given."""
    (total,) = store.db.execute(
        "SELECT count(*) FROM outcomes WHERE run = ?", (store.run,)
    ).fetchone()
    yield ink(
        f"{'state':<19} {'!!':>3} {'!':>3} {'~':>3}  {'submission':<{_ID_CHARS}} worst", "dim"
    )
    for row in islice(store.rows(worst_first=True), first):
        yield _row_line(row, ink, width)
    if first is not None and total > first:
        yield f"and {total - first} more, none of them worse"


def _row_line(row: OutcomeRow, ink: Ink, width: int | None) -> str:
    record = row.record
    state, colour = _SHOWN[record["state"]]
    numbers = (record["counts"][name] for name in ("danger", "fault", "advice"))
    counts = " ".join(f"{number or '':>3}" for number in numbers)
    found = worst(record["findings"])
    said: str = found["rule"] if found else record["reason"]
    about = f" {counts}  {_cut(printable(row.id), _ID_CHARS):<{_ID_CHARS}} "
    if width:
        said = _cut(said, max(20, width - 19 - len(about)))
    return (ink(f"{state:<19}", colour) + about + said).rstrip()


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 2]}.."
