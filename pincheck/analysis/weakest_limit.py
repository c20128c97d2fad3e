"""What gives way first when a heater's group gets too hot."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.analysis.case import Case
from pincheck.model.frozen import frozen
from pincheck.model.role import split
from pincheck.model.source import Span


@frozen
class TemperatureBound:
    """One thing that stands `max_c`; `whole` where it speaks for the group, not for one part.

    The best of its kind stand `best_c`, which is more where nobody stated what is fitted.
    """

    max_c: float
    what: str
    origin: str
    whole: bool
    at: Span | None
    best_c: float

    @property
    def said(self) -> str:
        """What it stands in words: one figure, or both ends."""
        more = f" to {self.best_c:.0f}" if self.best_c > self.max_c else ""
        return f"{self.max_c:.0f}{more} C"


def bounds(case: Case, group: str) -> Iterator[TemperatureBound]:
    """Yield what the assembly's limits and the group's parts stand.

    What is stated of the group settles which of its kind a part is.
    """
    stated_c = 0.0
    for limit in case.assembly.limits:
        if limit.group == group:
            what, stated_c = limit.because or f"{group} as the assembly states it", limit.max_c
            said_by = f"limit of {group} in the assembly"
            yield TemperatureBound(stated_c, what, said_by, True, limit.at, stated_c)
    for wired in case.trace.wired:
        part = wired.part
        if wired.role.startswith(f"{group}.") and part.max_c is not None:
            what = part.max_c_because or part.title or part.id
            whole = split(wired.role)[2] in ("block", "plate")
            best_c = max(part.max_c, part.max_c_at_best or 0.0)
            least_c = min(max(part.max_c, stated_c), best_c)
            said_by = f"part {part.id}"
            yield TemperatureBound(least_c, what, said_by, whole, wired.fit.at, best_c)


MARGIN_C = 5.0
"""How far the highest settable temperature is best kept below what the weakest part stands: control
overshoots by a few kelvin (`common practice`). References and edits say the same."""


def weakest(case: Case, group: str) -> tuple[TemperatureBound, TemperatureBound] | None:
    """Return what gives way first if each part is the least of its kind, and if the best.

    None where nothing states a limit. The second `max_c` is what it stands at best.
    """
    found = tuple(bounds(case, group))
    if not found:
        return None
    best = min(found, key=lambda bound: bound.best_c)
    return min(found, key=lambda bound: bound.max_c), evolve(best, max_c=best.best_c)


def depends(bound: TemperatureBound, group: str) -> str:
    """Return why nothing can be said between both ends of what a part stands."""
    return (
        f"depends on the {bound.what}, which stands {bound.said}: state what yours stands as "
        f"max_c of [limits.{group}]"
    )


_BEYOND = {
    "liner": "it softens, sheds harmful fumes and blocks the filament",
    "magnet": "it loses its hold for good",
    "thermistor": "it drifts, cracks and stops reporting",
    "insulation": "it chars",
}


def beyond(what: str) -> str:
    """Return what happens above the limit of a thing."""
    return next((text for word, text in _BEYOND.items() if word in what), "it is damaged for good")
