"""Headers in, a reading out."""

import gc
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers.define.headers import Headers
from pincheck.readers.define.run import Run
from pincheck.readers.define.settings import Settings


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


def read(sources: Sequence[Source], *, main: Source | None = None) -> Reading:
    """Return the settings of define-style headers, evaluated one after another.

    `main` comes first, the others in the order given; a header that another one includes counts
    where it is included first. Every define is a setting: active, possible (it stands under a
    condition that nobody can decide), disabled (its branch is not taken, or a later define or
    `#undef` takes it away) or commented out; the condition of a disabled or commented-out one is
    that of the branch that keeps it out. `resolved` is its value with all macros replaced and
    all arithmetic done, as after the last line of the last header, for what may be in force only.

    Raises:
        UnreadableError: there is more of something than any machine has.
    """
    ordered = sorted(sources, key=lambda source: source is not main)
    with _collector_paused():
        headers = Headers(ordered)
        for number in range(len(ordered)):
            if number not in headers.met:
                Run(headers, number, ()).through()
        settings = tuple(Settings(headers).all())
    problems = [problem for mistakes in headers.mistakes for problem in mistakes.close()]
    order = [source.name for source in ordered]
    problems.sort(key=lambda p: (order.index(p.file), p.span.start if p.span else 0))
    return Reading(
        style="define",
        sources=tuple(ordered),
        settings=settings,
        overridden=tuple(
            (settings[loser], settings[winner])
            for loser, winner in sorted(_last_winners(headers.lost).items())
            if winner is not None
            and settings[winner].activity is not Activity.DISABLED
            and not headers.rows[loser][2]  # under an undecided condition it may never have stood
        ),
        not_sent=tuple(headers.not_sent.values()),
        problems=tuple(problems),
    )


def _last_winners(lost: Mapping[int, int | None]) -> dict[int, int | None]:
    """Return for each setting that lost the one that counts in the end, None where none does."""
    last: dict[int, int | None] = {}
    for loser, winner in sorted(lost.items(), reverse=True):
        last[loser] = last.get(winner, winner) if winner is not None else None
    return last
