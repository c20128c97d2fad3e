"""Protection settings that the fault-response model says are right."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from attrs import evolve

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.heater_faults import fallen_out, hottest_c
from pincheck.analysis.heater_scene import USUAL_C, Scene, scene
from pincheck.analysis.protection_settings import HOLDING
from pincheck.analysis.usual_settings import SLACK, USUAL
from pincheck.analysis.weakest_limit import MARGIN_C
from pincheck.claims import vocabulary
from pincheck.maker.want import CannotExpressError, Want, as_case
from pincheck.model.path import Trace
from pincheck.model.role import split
from pincheck.model.setting import StyleName
from pincheck.model.wiring import Assembly
from pincheck.physics.protection import Protection, false_trip_fan, false_trip_warm_up

_HOTEND = "hotend"

_BANDS = {
    "trip_hysteresis_c": "so far below the target is no fault yet",
    "watch_increase_c": "rise expected in the time to watch",
}

_SHARED: Mapping[str, Callable[..., float]] = {"trip_period_s": min, "watch_period_s": max}
"""Where one setting serves all hot ends, the soonest cut and the longest rise suit all."""


def protection(
    assembly: Assembly, trace: Trace, style: StyleName, wants: tuple[Want, ...]
) -> Iterator[Want]:
    """Yield the protection of every fitted heater; see `_of_each` for how it is chosen.

    Raises:
        CannotExpressError: no setting of the style does what is needed.
    """
    found = tuple(_of_each(assembly, trace, style, wants))
    shared = styles.of(style).layout.shares_protection
    for want in found:
        choose = _SHARED.get(want.attribute) if shared else None
        if choose is None or not _is_hotend(want):
            yield want
            continue
        mates = [w for w in found if w.attribute == want.attribute and _is_hotend(w)]
        value = choose(float(mate.value) for mate in mates if isinstance(mate.value, float))
        yield next(evolve(mate, role=want.role) for mate in mates if mate.value == value)


def _is_hotend(want: Want) -> bool:
    return split(want.role)[0] == _HOTEND


def _of_each(
    assembly: Assembly, trace: Trace, style: StyleName, wants: tuple[Want, ...]
) -> Iterator[Want]:
    """Yield the protection of every fitted heater.

    The band is the style's usual one; the time to the cut is the longest that keeps a fallen-out
    sensor from overheating anything, the time for a rise the shortest that a slow warm-up meets.

    Raises:
        CannotExpressError: no setting of the style does both.
    """
    kind = _kind(style)
    usual = USUAL[kind]
    for wired in as_case(assembly, trace, style).fitted("heater"):
        role, group = wired.role, split(wired.role)[0]
        on = Want(role, "protection", True, "cuts the power when the temperature does not follow")
        yield on
        if group not in USUAL_C:
            continue
        stock = {
            name: Want(role, name, float(values[group][0]), _BANDS.get(name, ""))
            for name, values in usual.items()
        }
        said = (*wants, on, Want(role, "protection_kind", kind, ""), *stock.values())
        found = scene(as_case(assembly, trace, style, said), wired)
        if isinstance(found, str):
            raise CannotExpressError(f"{roles.name(role)}: {found}")
        yield from (want for name, want in stock.items() if name in _BANDS)
        yield from _searched(_within_limit(found), style, group)


def _kind(style: StyleName) -> str:
    """Return the kind of protection that the firmware of a style has."""
    entries = vocabulary(style).entries
    return next(entry.constant for entry in entries if entry.attribute == "protection_kind")


def _within_limit(found: Scene) -> Scene:
    """Return the scene of a print that the parts stand, where an ordinary one is too hot."""
    if found.weakest is None:
        return found
    return evolve(found, at_c=min(found.at_c, found.weakest.max_c - 2 * MARGIN_C))


def _searched(found: Scene, style: StyleName, group: str) -> Iterator[Want]:
    role, protection, usual = found.wired.role, found.protection, USUAL[found.protection.kind]
    if "watch_period_s" in usual:
        tries = ((it, s) for it in (found.slow, found) for s in usual["watch_period_s"][group])
        seconds = next((s for it, s in tries if not _slow(it, protection, s * SLACK)), None)
        if seconds is None:
            raise CannotExpressError(
                f"{found.heater.power_w:.0f} W warm the {roles.name(role)} too slowly for any "
                f"watch time of the {style} style"
            )
        protection = evolve(protection, watch_period_s=float(seconds))
        why = f"{found.heater.power_w:.0f} W warm up faster than that"
        yield Want(role, "watch_period_s", float(seconds), why)
    attribute = HOLDING[protection.kind][0]
    for scene_, margin_c in ((found.quick, 0.0), (found, MARGIN_C), (found, 0.0)):
        for value in usual[attribute][group]:
            changed: dict[str, Any] = {attribute: float(value)}
            tried = evolve(protection, **changed)
            hottest = hottest_c(fallen_out(scene_, tried))
            if _holds(found, hottest + margin_c) and not _blown(found, tried):
                most = " at most" if scene_ is not found else ""
                why = f"cut at {hottest:.0f} C{most} if the sensor falls out at {found.at_c:.0f} C"
                yield Want(role, attribute, float(value), why)
                return
    raise CannotExpressError(
        f"if the sensor of the {roles.name(role)} falls out, no setting of the {style} style cuts "
        f"{found.heater.power_w:.0f} W in time: fit a weaker heater"
    )


def _slow(found: Scene, protection: Protection, watch_period_s: float) -> bool:
    """Return whether an ordinary warm-up trips the protection."""
    watts, tried = found.heater.power_w, evolve(protection, watch_period_s=watch_period_s)
    return false_trip_warm_up(found.block, watts, found.at_c, tried, found.ambient_c).trips


def _blown(found: Scene, tried: Protection) -> bool:
    """Return whether the part fan trips the hot end's protection."""
    if not found.wired.role.startswith(_HOTEND):
        return False
    watts = found.heater.power_w
    return false_trip_fan(found.block, watts, found.at_c, tried, found.ambient_c).trips


def _holds(found: Scene, block_c: float) -> bool:
    return found.weakest is None or block_c <= found.weakest.max_c
