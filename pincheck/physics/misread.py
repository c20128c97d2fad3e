"""A warm-up whose sensor is read through the wrong curve."""

from collections.abc import Callable

from attrs import evolve

from pincheck.model.frozen import frozen
from pincheck.physics import monitor
from pincheck.physics.bounds import TEMPERATURE
from pincheck.physics.monitor import Protection
from pincheck.physics.protection import FaultOutcome, came_to, horizon_s
from pincheck.physics.thermal import Course, ThermalBlock, heating

_STEP_S = 0.01


@frozen
class MisreadCourse(Course):
    """A course of which the firmware sees something else: `believe` maps a true temperature to it.

    The map rises or falls all the way, so the reading turns where the sensor does.
    """

    believe: Callable[[float], float] = float

    def reading_c(self, time_s: float) -> float:
        """Return what the firmware believes."""
        return self.believe(Course.reading_c(self, time_s))

    def rate_k_s(self, time_s: float) -> float:
        """Return how fast what it believes changes, by a central difference."""
        before, after = (self.reading_c(time_s + step) for step in (-_STEP_S, _STEP_S))
        return (after - before) / (2 * _STEP_S)


def warm_up_as_read(
    block: ThermalBlock,
    heater_w: float,
    target_c: float,
    protection: Protection,
    believe: Callable[[float], float],
    ambient_c: float = 25.0,
) -> FaultOutcome:
    """Return what a warm-up at full power from ambient comes to: target, cut, or settling below.

    Target, limits and protection are in the degrees that the firmware believes. A target that is
    the highest temperature allowed is held there.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    TEMPERATURE.check(target_c)
    true = heating(heater_w, ambient_c, ambient_c, block)
    course = MisreadCourse(true.stages, true.delay_s, believe)
    until = horizon_s(block, protection)
    reaches = course.first(lambda c: c >= target_c, 0.0, until)
    watched = until if reaches is None else reaches
    if protection.max_c is not None and target_c >= protection.max_c:
        protection = evolve(protection, max_c=None)
    cut = monitor.warming(course, target_c, believe(ambient_c), protection, watched)
    return came_to(course, cut, reaches, until)
