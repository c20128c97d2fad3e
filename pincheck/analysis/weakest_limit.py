"""What gives way first when a heater's group gets too hot."""

from collections.abc import Iterator

from pincheck.analysis.case import Case
from pincheck.model.frozen import frozen
from pincheck.model.role import split
from pincheck.model.source import Span


@frozen
class TemperatureBound:
    """One thing that stands `max_c`; `whole` where it speaks for the group, not for one part."""

    max_c: float
    what: str
    origin: str
    whole: bool
    at: Span | None = None


def bounds(case: Case, group: str) -> Iterator[TemperatureBound]:
    """Yield what the assembly's limits and the group's parts stand."""
    for limit in case.assembly.limits:
        if limit.group == group:
            what = limit.because or f"{group} as the assembly states it"
            yield TemperatureBound(
                limit.max_c, what, f"limit of {group} in the assembly", True, limit.at
            )
    for wired in case.trace.wired:
        part = wired.part
        if wired.role.startswith(f"{group}.") and part.max_c is not None:
            what = part.max_c_because or part.title or part.id
            whole = split(wired.role)[2] in ("block", "plate")
            yield TemperatureBound(part.max_c, what, f"part {part.id}", whole, wired.fit.at)


_BEYOND = {
    "liner": "it softens, sheds harmful fumes and blocks the filament",
    "magnet": "it loses its hold for good",
    "thermistor": "it drifts, cracks and stops reporting",
    "insulation": "it chars",
}


def beyond(what: str) -> str:
    """Return what happens above the limit of a thing."""
    return next((text for word, text in _BEYOND.items() if word in what), "it is damaged for good")
