"""Temperature limits with their margins, and how much power the copper bears."""

import math
from collections.abc import Iterator

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.currents import LESS_LOST, ways
from pincheck.analysis.heater_element import element
from pincheck.analysis.usual_settings import MIN_EXTRUDE_C
from pincheck.analysis.weakest_limit import MARGIN_C, bounds
from pincheck.maker.want import CannotExpressError, Want, as_case
from pincheck.model.path import Trace, Wired
from pincheck.model.role import sibling, split
from pincheck.model.setting import StyleName
from pincheck.model.wiring import Assembly
from pincheck.physics.divider import parallel_ohm
from pincheck.sensors import fitted, hot_c, spelled, spellings

MIN_C = 5.0
"""Below any room that is printed in, far above what a broken wire reads (`common practice`)."""

_LEAST_CAP = 0.3


def limits(assembly: Assembly, trace: Trace, style: StyleName) -> Iterator[Want]:
    """Yield the limits of every fitted heater.

    Raises:
        CannotExpressError: the wiring states no limit for a heater, or too low a one to use.
    """
    case = as_case(assembly, trace, style)
    for wired in case.fitted("heater"):
        role, group = wired.role, split(wired.role)[0]
        found = sorted(bounds(case, role.partition(".")[0]), key=lambda bound: bound.max_c)
        if not any(bound.whole for bound in found):
            raise CannotExpressError(
                f"the wiring states no limit for the {roles.name(role)}: add "
                f"[limits.{role.partition('.')[0]}] with max_c and because"
            )
        weakest = found[0]
        settable = weakest.max_c - MARGIN_C
        spare = styles.of(style).layout.overshoot_c.get(group, 0.0)
        kept = f" + {spare:g} K for overshoot" if spare else ""
        why = f"{weakest.what} stands {weakest.said}: limit {settable:g} C{kept}"
        yield Want(role, "max_c", settable + spare, why)
        if spare:
            yield Want(role, "overshoot_c", spare, "targets end this far below the limit")
        min_c = _min_c(assembly, trace, style, role)
        yield Want(role, "min_c", min_c, "a broken sensor wire reads colder")
        if group == "hotend":
            yield Want(role, "min_extrude_c", MIN_EXTRUDE_C, "colder filament is not pushed")
        yield from _power(assembly, trace, style, wired)


def _min_c(assembly: Assembly, trace: Trace, style: StyleName, heater: str) -> float:
    """Return a minimum below a cold room and above where the style's table ends, if it can be."""
    min_c = min(MIN_C, math.floor(assembly.ambient_c - 10.0))
    wired = trace.find(str(sibling(heater, "sensor")))
    part = wired and fitted(wired.part)
    if wired and part and wired.path.pullups:
        ohm = parallel_ohm(*(pull.ohm for pull in wired.path.pullups))
        for word in spellings(style, part, ohm, hot_c(wired.role))[:1]:
            table = spelled(style, word)
            if table and table.reads_c:
                return max(min_c, table.reads_c[0] + 1.0)
    return min_c


def _power(assembly: Assembly, trace: Trace, style: StyleName, wired: Wired) -> Iterator[Want]:
    case = as_case(assembly, trace, style)
    found = element(case, wired)
    if isinstance(found, str):
        raise CannotExpressError(f"{roles.name(wired.role)}: {found}")
    over = (way for way in ways(case, wired) if way.most_a > way.strain.may_a)
    weakest = max(over, key=lambda way: way.most_a / way.strain.may_a, default=None)
    if weakest is None:
        if styles.of(style).layout.full_power_unsaid:
            return
        why = f"{found.on_a:.1f} A, which everything on its way carries"
        yield Want(wired.role, "max_power", 1.0, why)
        return
    # At worst by what is assumed. What others send through it stays; the heater gets the rest.
    may_a, own_a = weakest.strain.may_a, weakest.of(wired.role)
    worst_a = own_a * weakest.most_a / weakest.total.nominal
    left_a = max(may_a - (weakest.most_a - worst_a), 0.0)
    cap = math.floor(100 * (LESS_LOST * left_a / worst_a) ** 2) / 100
    what = weakest.strain.what
    if cap < _LEAST_CAP:
        raise CannotExpressError(
            f"the {roles.name(wired.role)} draws {own_a:.1f} A and {what} may carry "
            f"{may_a:.1f} A: no configuration makes that safe"
        )
    why = f"capped: {own_a:.1f} A is too much for {what} ({may_a:.1f} A)"
    yield Want(wired.role, "max_power", cap, why)
