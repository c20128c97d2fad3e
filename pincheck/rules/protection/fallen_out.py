"""A sensor that fell out: what comes of it, and which tighter protection would hold."""

import math

from attrs import evolve

from pincheck.model.finding import Change
from pincheck.physics.protection import Outcome as Answer
from pincheck.physics.protection import Protection, sensor_falls_out
from pincheck.physics.thermal import time_to_c
from pincheck.rules.base import value
from pincheck.rules.limits.weakest import Bound
from pincheck.rules.protection.scene import Scene

_SHORTEST_S = 5.0
_SMALLER = (0.75, 0.5, 0.25, 0.1, 0.05, 0.02)


def answer_of(found: Scene, protection: Protection) -> Answer:
    """Return what happens when the sensor falls out in an ordinary print."""
    return sensor_falls_out(
        found.block, found.heater.power_w, found.at_c, protection, found.ambient_c
    )


def hottest_c(answer: Answer) -> float:
    """Return how hot the block gets: at the cut, or where it settles without one."""
    return answer.peak_c if answer.block_c_at_cut is None else answer.block_c_at_cut


def tighter(found: Scene, answer: Answer, bound: Bound) -> tuple[Change, ...]:
    """Return the change to the loosest protection that keeps the block below `bound`, if any."""
    claims = {claim.attribute: claim for claim in found.claims}
    role = found.wired.role
    if total := claims.get("max_error_ks"):
        for share in _SMALLER:
            less = float(round(value(total) * share))
            less_patient = evolve(found.protection, max_error_c_s=less)
            if hottest_c(answer_of(found, less_patient)) <= bound.max_c:
                return (Change(role, "max_error_ks", less, total),)
    period = claims.get("trip_period_s")
    in_time = time_to_c(found.at_c, bound.max_c, found.heater.power_w, found.ambient_c, found.block)
    if period is None or answer.cut_after_s is None or in_time is None:
        return ()
    shorter = math.floor(value(period) - (answer.cut_after_s - in_time))
    if shorter < _SHORTEST_S:
        return ()
    return (Change(role, "trip_period_s", float(shorter), period),)
