"""A batch in a few lines: states, rules by revision, keys nobody understood, what changed."""

from collections.abc import Iterator
from itertools import islice

from pincheck.batch.changes import FindingChange, changes, listed
from pincheck.batch.record import STATES, SubmissionState
from pincheck.batch.store import Store
from pincheck.model.printable import printable
from pincheck.reports.text import wrap
from pincheck.reports.words import CAUTIONS, plural

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
    yield from _rules(store)
    yield from _keys(store)
    yield from _changes(store)
    yield ""
    yield from wrap(CAUTIONS[0])


def _rules(store: Store) -> Iterator[str]:
    of, listed_so_far = None, 0
    for revisions, rule, severity, submissions in store.db.execute(_RULES, (store.run,)):
        if revisions != of:
            of, listed_so_far = revisions, 0
            yield ""
            yield f"Rules that fire most with {printable(revisions)}:"
        listed_so_far += 1
        if listed_so_far <= _MOST:
            yield f"  {submissions:>5}  {rule} ({severity})"


def _keys(store: Store) -> Iterator[str]:
    found = list(store.db.execute(_KEYS, (store.run, _MOST)))
    if found:
        yield ""
        yield "Keys that look relevant and that nobody understood:"
    for key, submissions in found:
        yield f"  {submissions:>5}  {printable(key)}"


def _changes(store: Store) -> Iterator[str]:
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
