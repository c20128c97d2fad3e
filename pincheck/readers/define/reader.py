"""Headers in, a reading out."""

import gc
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers.define.headers import Headers
from pincheck.readers.define.run import Preprocessing
from pincheck.readers.define.settings import Settings
from pincheck.readers.define.tables import tables


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Pause the search for cycles: nothing made here is in one, and each search sees it all."""
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def read(
    sources: Sequence[Source], starts: Sequence[Source] = (), others: Sequence[Source] = ()
) -> Reading:
    """Return the settings of define-style headers, evaluated one after another.

    Reading starts at each of `starts` in turn, without them at each of the sources. All other
    headers, those of `others` too, count where one that is reached includes them first, and not
    at all where none does. Every define is a setting: active, possible (it stands under a
    condition that nobody can decide), disabled (its branch is not taken, or a later define or
    `#undef` takes it away) or commented out; the condition of a disabled or commented-out one is
    that of the branch that keeps it out. `resolved` is its value with all macros replaced and
    all arithmetic done, as after the last line of the last header, for what may be in force only.
    Tables of sensors are read where a setting selects them.

    Raises:
        UnreadableError: there is more of something than any machine has.
    """
    with _collector_paused():
        headers = Headers(sources, starts, others)
        for number in headers.starts:
            if number not in headers.met:
                Preprocessing(headers, number, ()).through()
        settings = tuple(Settings(headers).all())
        own, wrong = tables(settings, headers.sources)
    met = sorted(
        headers.met,
        key=lambda n: headers.starts.index(n) if n in headers.starts else n + len(headers.sources),
    )
    problems = [problem for number in met for problem in headers.mistakes[number].close()]
    return Reading(
        style="define",
        sources=tuple(headers.sources[number] for number in met),
        settings=settings,
        overridden=tuple(
            (settings[loser], settings[winner])
            for loser, winner in sorted(_last_winners(headers.lost).items())
            if winner is not None
            and settings[winner].activity is not Activity.DISABLED
            and not headers.rows[loser][2]  # under an undecided condition it may never have stood
        ),
        not_sent=tuple(headers.not_sent.values()),
        problems=(*headers.problems, *problems, *wrong),
        tables=own,
    )


def _last_winners(lost: Mapping[int, int | None]) -> dict[int, int | None]:
    """Return for each setting that lost the one that counts in the end, None where none does."""
    last: dict[int, int | None] = {}
    for loser, winner in sorted(lost.items(), reverse=True):
        last[loser] = last.get(winner, winner) if winner is not None else None
    return last
