"""Protection settings that the fault-response model says are right."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from attrs import evolve

from pincheck.maker.limits import MARGIN_C
from pincheck.maker.want import CannotExpressError, Want, as_case
from pincheck.model.path import Trace
from pincheck.model.role import split
from pincheck.model.setting import Style
from pincheck.model.wiring import Assembly
from pincheck.physics.protection import (
    Protection,
    false_trip_fan,
    false_trip_warm_up,
    sensor_falls_out,
)
from pincheck.rules import words
from pincheck.rules.protection.scene import Scene, scene

SLACK = 0.75
"""A real warm-up may be this much slower than the model's before the watch trips."""

_HOTEND, _BED = "hotend", "bed"

_TRIPS: Mapping[Style, tuple[str, Mapping[str, tuple[float, ...]]]] = {
    "define": (
        "trip_period_s",
        {_HOTEND: (40, 30, 25, 20, 15, 12, 10, 8, 6, 5), _BED: (20, 15, 10, 8, 6, 5)},
    ),
    "section": ("max_error_ks", {_HOTEND: (120, 90, 60, 45, 30, 20), _BED: (120, 90, 60, 45, 30)}),
    "gcode": ("trip_period_s", {_HOTEND: (5, 4, 3, 2), _BED: (10, 8, 5, 4, 3, 2)}),
}
"""The setting that decides how soon a fault is cut, its usual value first, then tighter ones."""

_WATCHES: Mapping[str, tuple[float, ...]] = {
    _HOTEND: (20, 30, 40, 60, 90, 120),
    _BED: (60, 90, 120, 180, 240, 300),
}
"""The time allowed for a rise, its usual value first, then longer ones, s."""

_FIXED: Mapping[Style, Mapping[str, Mapping[str, float]]] = {
    "define": {
        _HOTEND: {"trip_hysteresis_c": 4, "watch_increase_c": 2},
        _BED: {"trip_hysteresis_c": 2, "watch_increase_c": 2},
    },
    "section": {
        _HOTEND: {"trip_hysteresis_c": 5, "watch_increase_c": 2},
        _BED: {"trip_hysteresis_c": 5, "watch_increase_c": 2},
    },
    "gcode": {_HOTEND: {"trip_hysteresis_c": 15}, _BED: {"trip_hysteresis_c": 15}},
}
"""Usual bands of each style (stock values, from memory)."""

_BANDS = {
    "trip_hysteresis_c": "so far below the target is no fault yet",
    "watch_increase_c": "rise expected in the time to watch",
}

_NAMES = {
    "define": {"trip": "period_s", "watch": "watch_period_s"},
    "section": {"trip": "max_error_c_s", "watch": "check_gain_s"},
    "gcode": {"trip": "fault_s"},
}


_SHARED: Mapping[str, Callable[..., float]] = {"trip_period_s": min, "watch_period_s": max}
"""Define style: one setting serves all hot ends; the soonest cut and the longest rise suit all."""


def protection(
    assembly: Assembly, trace: Trace, style: Style, wants: tuple[Want, ...]
) -> Iterator[Want]:
    """Yield the protection of every fitted heater; see `_of_each` for how it is chosen.

    Raises:
        CannotExpressError: no setting of the style does what is needed.
    """
    found = tuple(_of_each(assembly, trace, style, wants))
    for want in found:
        choose = _SHARED.get(want.attribute) if style == "define" else None
        if choose is None or not _is_hotend(want):
            yield want
            continue
        mates = [w for w in found if w.attribute == want.attribute and _is_hotend(w)]
        value = choose(float(mate.value) for mate in mates if isinstance(mate.value, float))
        yield next(evolve(mate, role=want.role) for mate in mates if mate.value == value)


def _is_hotend(want: Want) -> bool:
    return split(want.role)[0] == _HOTEND


def _of_each(
    assembly: Assembly, trace: Trace, style: Style, wants: tuple[Want, ...]
) -> Iterator[Want]:
    """Yield the protection of every fitted heater.

    The band is the style's usual one; the time to the cut is the longest that keeps a fallen-out
    sensor from overheating anything, the time for a rise the shortest that a slow warm-up meets.

    Raises:
        CannotExpressError: no setting of the style does both.
    """
    for wired in as_case(assembly, trace, style).fitted("heater"):
        role, group = wired.role, split(wired.role)[0]
        yield Want(role, "protection", True, "cuts the power when the temperature does not follow")
        if group not in _WATCHES:
            continue
        fixed = tuple(
            Want(role, attribute, float(value), _BANDS[attribute])
            for attribute, value in _FIXED[style][group].items()
        )
        said = (*wants, *fixed, Want(role, "protection", True, ""))
        found = scene(as_case(assembly, trace, style, said), wired)
        if isinstance(found, str):
            raise CannotExpressError(f"{words.name(role)}: {found}")
        yield from fixed
        yield from _searched(_within_limit(found), style, group)


def _within_limit(found: Scene) -> Scene:
    """Return the scene of a print that the parts stand, where an ordinary one is too hot."""
    if found.weakest is None:
        return found
    return evolve(found, at_c=min(found.at_c, found.weakest.max_c - 2 * MARGIN_C))


def _searched(found: Scene, style: Style, group: str) -> Iterator[Want]:
    role, names = found.wired.role, _NAMES[style]
    protection = found.protection
    if "watch" in names:
        for seconds in _WATCHES[group]:
            tried = _set(protection, names["watch"], seconds * SLACK)
            if not _slow(found, tried):
                protection = _set(protection, names["watch"], seconds)
                why = f"{found.heater.power_w:.0f} W warm up faster than that"
                yield Want(role, "watch_period_s", float(seconds), why)
                break
        else:
            raise CannotExpressError(
                f"{found.heater.power_w:.0f} W warm the {words.name(role)} too slowly for any "
                f"watch time of the {style} style"
            )
    attribute, usual = _TRIPS[style]
    for margin_c in (MARGIN_C, 0.0):
        for value in usual[group]:
            tried = _set(protection, names["trip"], value)
            hottest = _hottest_c(found, tried)
            if _holds(found, hottest + margin_c) and not _blown(found, tried):
                why = f"cut at {hottest:.0f} C if the sensor falls out at {found.at_c:.0f} C"
                yield Want(role, attribute, float(value), why)
                return
    raise CannotExpressError(
        f"if the sensor of the {words.name(role)} falls out, no setting of the {style} style cuts "
        f"{found.heater.power_w:.0f} W in time: fit a weaker heater"
    )


def _set(protection: Protection, name: str, value: float) -> Protection:
    changed: dict[str, Any] = {name: float(value)}
    return evolve(protection, **changed)


def _slow(found: Scene, tried: Protection) -> bool:
    """Return whether an ordinary warm-up trips the protection."""
    watts = found.heater.power_w
    return false_trip_warm_up(found.block, watts, found.at_c, tried, found.ambient_c).trips


def _blown(found: Scene, tried: Protection) -> bool:
    """Return whether the part fan trips the hot end's protection."""
    if not found.wired.role.startswith(_HOTEND):
        return False
    watts = found.heater.power_w
    return false_trip_fan(found.block, watts, found.at_c, tried, found.ambient_c).trips


def _hottest_c(found: Scene, tried: Protection) -> float:
    """Return how hot the block is at the cut after its sensor fell out, or where it settles."""
    watts = found.heater.power_w
    answer = sensor_falls_out(found.block, watts, found.at_c, tried, found.ambient_c)
    return answer.peak_c if answer.block_c_at_cut is None else answer.block_c_at_cut


def _holds(found: Scene, hottest_c: float) -> bool:
    return found.weakest is None or hottest_c <= found.weakest.max_c
