"""The terminal's table: one line a submission, worst first."""

from collections.abc import Iterator
from itertools import islice

from pincheck.batch.record import SubmissionState
from pincheck.batch.store import OutcomeRow, Store
from pincheck.model.printable import printable
from pincheck.reports.text import Ink

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
        yield _line(row, ink, width)
    if first is not None and total > first:
        yield f"and {total - first} more, none of them worse"


def _line(row: OutcomeRow, ink: Ink, width: int | None) -> str:
    record = row.record
    state, colour = _SHOWN[record["state"]]
    numbers = (record["counts"][name] for name in ("danger", "fault", "advice"))
    counts = " ".join(f"{number or '':>3}" for number in numbers)
    worst: str = record["findings"][0]["rule"] if record["findings"] else record["reason"]
    about = f" {counts}  {_cut(printable(row.id), _ID_CHARS):<{_ID_CHARS}} "
    if width:
        worst = _cut(worst, max(20, width - 19 - len(about)))
    return (ink(f"{state:<19}", colour) + about + worst).rstrip()


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 2]}.."
