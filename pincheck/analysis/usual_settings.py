"""The usual settings of each kind of protection, and the mildest that would do."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations, product
from typing import Any

from attrs import evolve

from pincheck.analysis.heater_scene import Scene
from pincheck.model.claim import Claim, Claims
from pincheck.model.finding import Change
from pincheck.model.role import split
from pincheck.physics.protection import Protection, false_trip_fan, false_trip_warm_up

SLACK = 0.75
"""A real warm-up may be this much slower than the model's before the watch trips."""

MIN_EXTRUDE_C = 170.0
"""Below it the most common filament is not soft enough to be pushed (`common practice`)."""

_HOTEND, _BED = "hotend", "bed"
_WATCH: Mapping[str, tuple[float, ...]] = {
    _HOTEND: (20, 30, 40, 60, 90, 120, 15, 10),
    _BED: (60, 90, 120, 180, 240, 300, 45, 30),
}
_RISE: Mapping[str, tuple[float, ...]] = {_HOTEND: (2,), _BED: (2,)}

USUAL: Mapping[str, Mapping[str, Mapping[str, tuple[float, ...]]]] = {
    "window": {
        "trip_hysteresis_c": {_HOTEND: (4,), _BED: (2,)},
        "trip_period_s": {
            _HOTEND: (40, 30, 25, 20, 15, 12, 10, 8, 6, 5),
            _BED: (20, 15, 10, 8, 6, 5),
        },
        "watch_increase_c": _RISE,
        "watch_period_s": _WATCH,
    },
    "accumulated": {
        "trip_hysteresis_c": {_HOTEND: (5,), _BED: (5,)},
        "max_error_ks": {_HOTEND: (120, 90, 60, 45, 30, 20), _BED: (120, 90, 60, 45, 30)},
        "watch_increase_c": _RISE,
        "watch_period_s": _WATCH,
    },
    "model": {
        "trip_hysteresis_c": {_HOTEND: (15,), _BED: (15,)},
        "trip_period_s": {_HOTEND: (5, 4, 3, 2), _BED: (10, 8, 5, 4, 3, 2)},
    },
}
"""By kind, setting and group: the stock value first (from memory), then others to try in turn:
sooner cuts; more time for a rise, then less."""


def usual(claims: Claims, claim: Claim) -> float | None:
    """Return the stock value of a setting, None where none is usual for that kind of protection."""
    if claim.attribute == "min_extrude_c":
        return MIN_EXTRUDE_C
    kind = claims.find(claim.role, "protection_kind")
    by_group = USUAL.get(str(kind.value), {}).get(claim.attribute, {}) if kind else {}
    return next(iter(by_group.get(split(claim.role)[0], ())), None)


def tightened(
    found: Scene, names: Sequence[str], holds: Callable[[Scene, Protection], bool]
) -> tuple[Change, ...]:
    """Return the changes to the fewest settings with which `holds` is true; empty for none.

    Each becomes tighter, and nothing normal trips. They hold for both ends of the band.
    """
    ends = found.quick, found.slow
    for count in range(1, len(names) + 1):
        for chosen in combinations(names, count):
            for values in product(*(tuple(_tighter(found, name)) for name in chosen)):
                new: dict[str, Any] = dict(zip(chosen, values, strict=True))
                tried = evolve(found.protection, **new)
                if all(holds(end, tried) for end in ends) and not _trips_falsely(found, tried):
                    claims = {claim.attribute: claim for claim in found.claims}
                    role = found.wired.role
                    return tuple(Change(role, n, new[n], claims.get(n)) for n in chosen)
    return ()


def _tighter(found: Scene, name: str) -> Iterator[float]:
    group, now = split(found.wired.role)[0], getattr(found.protection, name)
    for value in USUAL[found.protection.kind][name][group]:
        if name == "watch_increase_c":
            tighter = now is None or value > now
        else:
            unwatched = name == "watch_period_s" and not now
            tighter = unwatched or value < now
        if tighter:
            yield float(value)


def _trips_falsely(found: Scene, tried: Protection) -> bool:
    given = found.heater.power_w, found.at_c
    hasty = tried
    if tried.watch_period_s:
        hasty = evolve(tried, watch_period_s=tried.watch_period_s * SLACK)
    if false_trip_warm_up(found.block, *given, hasty, found.ambient_c).trips:
        return True
    hotend = split(found.wired.role)[0] == _HOTEND
    return hotend and false_trip_fan(found.block, *given, tried, found.ambient_c).trips
