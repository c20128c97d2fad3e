"""Faults of a heater against its protection: when the cut comes and how hot the block is then.

Also the other way round: whether something quite normal trips the protection. Each scenario is
solved in closed form between its events (`thermal`) and watched by `monitor`.
"""

from collections.abc import Iterable

from attrs import evolve, field

from pincheck.model.frozen import frozen
from pincheck.physics import monitor
from pincheck.physics.bounds import DUTY, POWER, TEMPERATURE
from pincheck.physics.monitor import (
    ACCUMULATED,
    MODEL,
    WINDOW,
    Cause,
    Cut,
    HeaterModel,
    Protection,
)
from pincheck.physics.thermal import (
    Course,
    Sample,
    Stage,
    ThermalBlock,
    heating,
    settle_c,
    time_to_c,
)

__all__ = [
    "ACCUMULATED",
    "MODEL",
    "WINDOW",
    "FaultOutcome",
    "GivesWay",
    "HeaterModel",
    "Protection",
    "Shorted",
    "TemperatureLimit",
    "false_trip_fan",
    "false_trip_warm_up",
    "heater_loose",
    "sensor_falls_out",
    "sensor_out_cold",
    "switch_shorted",
]

_SETTLED_TAUS = 20.0
_SHOWN_TAUS = 5.0
_LASTING_LACK_K = 10.0
"""A fault that lasts lacks at least this much; it tells how long to wait for an error sum."""

LONGEST_S = 20_000.0
"""How far ahead a scenario is followed, in s, beside the protection's own periods."""


@frozen
class FaultOutcome:
    """What comes of a scenario that starts at time 0.

    `cut_after_s`, `block_c_at_cut` and `cause` are None where the protection never trips; then
    `peak_c` tells how hot the block gets, where it settles included. `lowest_reading_c` is
    the lowest that the sensor shows. `reaches_s` is when the reading is at its target (again),
    None for never. `course` is what happens till `shown_s`: the cut, the target or
    near the settling temperature. A reason in `unknown` means that `trips` was not fully checked.
    """

    trips: bool
    cut_after_s: float | None
    block_c_at_cut: float | None
    cause: Cause | None
    peak_c: float
    lowest_reading_c: float
    reaches_s: float | None
    course: Course
    shown_s: float
    unknown: str = ""

    @property
    def trajectory(self) -> tuple[Sample, ...]:
        """Samples of the course, evenly spaced."""
        return self.course.samples(self.shown_s)


@frozen
class TemperatureLimit:
    """Something that gives way at a temperature: its name and that temperature."""

    name: str
    max_c: float = field(validator=TEMPERATURE)


@frozen
class GivesWay:
    """A limit and when the block passes it; None where it never does."""

    limit: TemperatureLimit
    after_s: float | None


@frozen
class Shorted:
    """Where a heater that nothing can switch off settles.

    `gives_way` has every limit, the first to be passed first; `first` is None where all hold.
    """

    settle_c: float
    gives_way: tuple[GivesWay, ...]

    @property
    def first(self) -> GivesWay | None:
        """The limit that is passed first."""
        return next((way for way in self.gives_way if way.after_s is not None), None)


def horizon_s(block: ThermalBlock, protection: Protection) -> float:
    """Return how long to follow a scenario for anything that can still come, in s."""
    longest = max(protection.trip_period_s or 0.0, protection.watch_period_s or 0.0)
    filled = (protection.max_error_ks or 0.0) / _LASTING_LACK_K
    lag = max(block.sensor_lag_s, block.loose_lag_s)
    settled = _SETTLED_TAUS * (block.tau_s + lag) + block.dead_time_s
    return min(settled, LONGEST_S) + 2 * longest + filled


def came_to(
    course: Course, cut: Cut | None, reaches_s: float | None, horizon_s: float
) -> FaultOutcome:
    """Return what a course comes to, cut or not."""
    last = course.stages[-1]
    ends = [time for time in (cut.after_s if cut else None, reaches_s) if time is not None]
    shown = _SHOWN_TAUS * (last.tau_s + last.lag_s) + last.start_s + course.delay_s
    end = min(ends, default=horizon_s)
    # The block is monotonic within a stage, so its extremes lie at the ends of the stages.
    corners = [stage.block_c for stage in course.stages if stage.start_s <= end]
    final_c = course.block_c(end) if ends else last.settle_c
    turns = [time for time in course.turns_s(horizon_s) if time <= end]
    return FaultOutcome(
        trips=cut is not None,
        cut_after_s=cut.after_s if cut else None,
        block_c_at_cut=course.block_c(cut.after_s) if cut else None,
        cause=cut.cause if cut else None,
        peak_c=max(*corners, final_c),
        lowest_reading_c=min(course.reading_c(time) for time in (*turns, end)),
        reaches_s=None if cut else reaches_s,
        course=course,
        shown_s=end if ends else min(end, shown),
    )


def sensor_falls_out(
    block: ThermalBlock,
    heater_w: float,
    at_c: float,
    protection: Protection,
    ambient_c: float = 25.0,
) -> FaultOutcome:
    """Return what happens when the sensor leaves the block at the temperature `at_c`.

    It cools in air with `Block.loose_lag_s`; the controller answers with all the power that it
    has, `heater_w` (mean, with the firmware's cap), from the first moment on.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    start = TEMPERATURE.check(at_c)
    settle = settle_c(heater_w, ambient_c, block)
    stage = Stage(0.0, start, start, settle, block.tau_s, block.loose_lag_s, air_c=ambient_c)
    course, until = Course((stage,)), horizon_s(block, protection)
    return came_to(course, monitor.holding(course, start, protection, until), None, until)


def sensor_out_cold(
    block: ThermalBlock,
    heater_w: float,
    target_c: float,
    protection: Protection,
    ambient_c: float = 25.0,
) -> FaultOutcome:
    """Return what happens on a warm-up with the sensor outside the block from the start.

    The reading stays at ambient while the block gets `heater_w`.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    TEMPERATURE.check(target_c)
    settle = settle_c(heater_w, ambient_c, block)
    stage = Stage(0.0, ambient_c, ambient_c, settle, block.tau_s, 0.0, air_c=ambient_c)
    course, until = Course((stage,)), horizon_s(block, protection)
    cut = monitor.warming(course, target_c, ambient_c, protection, until)
    outcome = _warm_up_outcome(course, cut, None, until, protection)
    model = protection.model
    if cut is None and model and model.expects_k_s(0.0) <= 0:
        return evolve(outcome, unknown="the firmware's heater model is too slow to tell from noise")
    return outcome


def heater_loose(
    block: ThermalBlock,
    heater_w: float,
    at_c: float,
    protection: Protection,
    ambient_c: float = 25.0,
    share: float = 0.0,
) -> FaultOutcome:
    """Return what happens when the heater slips out of the block at the temperature `at_c`.

    `share` of the heat (0 to 1) still reaches the block, at full power; the rest heats the
    cartridge itself until the cut.

    Raises:
        ValueError: power, share or a temperature outside its allowed range.
    """
    left_w = POWER.check(heater_w) * DUTY.check(share)
    course, until = heating(left_w, at_c, ambient_c, block), horizon_s(block, protection)
    held = settle_c(left_w, ambient_c, block) >= at_c
    if held:
        course = _steady(course)
    cut = monitor.holding(course, at_c, protection, until)
    return came_to(course, cut, 0.0 if held else None, until)


def _steady(course: Course) -> Course:
    first = course.stages[0]
    return evolve(course, stages=(evolve(first, settle_c=first.block_c),))


def switch_shorted(
    block: ThermalBlock,
    heater_w: float,
    ambient_c: float,
    limits: Iterable[TemperatureLimit],
    from_c: float | None = None,
) -> Shorted:
    """Return where the block settles at full power and what gives way in which order.

    No protection helps, and no power cap either: `heater_w` is the power of the heater itself.
    Without `from_c` it starts cold.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    start = ambient_c if from_c is None else TEMPERATURE.check(from_c)

    def passed(limit: TemperatureLimit) -> float | None:
        if start >= limit.max_c:
            return 0.0
        return time_to_c(start, limit.max_c, heater_w, ambient_c, block)

    ways = (GivesWay(limit, passed(limit)) for limit in sorted(limits, key=lambda it: it.max_c))
    return Shorted(settle_c(heater_w, ambient_c, block), tuple(ways))


def false_trip_warm_up(
    block: ThermalBlock,
    heater_w: float,
    target_c: float,
    protection: Protection,
    ambient_c: float = 25.0,
) -> FaultOutcome:
    """Return whether a normal warm-up from ambient at full power trips the protection.

    A "model" was measured with the lag of its own sensor, which only the firmware knows: there
    the reading follows the block at once, and a trip is certain.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    TEMPERATURE.check(target_c)
    if protection.kind == "model":
        block = evolve(block, sensor_lag_s=0.0, dead_time_s=0.0)
    course, horizon = heating(heater_w, ambient_c, ambient_c, block), horizon_s(block, protection)
    reaches = course.first(lambda c: c >= target_c, 0.0, horizon)
    until = horizon if reaches is None else reaches
    cut = monitor.warming(course, target_c, ambient_c, protection, until)
    return _warm_up_outcome(course, cut, reaches, horizon, protection)


def _warm_up_outcome(
    course: Course, cut: Cut | None, reaches_s: float | None, until: float, protection: Protection
) -> FaultOutcome:
    outcome = came_to(course, cut, reaches_s, until)
    if cut is None and protection.kind == "model" and protection.model is None:
        return evolve(outcome, unknown="the heater model of the firmware is not known")
    return outcome


def false_trip_fan(
    block: ThermalBlock,
    heater_w: float,
    at_c: float,
    protection: Protection,
    ambient_c: float = 25.0,
) -> FaultOutcome:
    """Return whether the part fan, starting at the temperature `at_c`, trips the protection.

    The controller is taken at its best: full power as soon as the reading falls. A trip is
    therefore certain; a real controller lets the reading dip somewhat lower.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    blown, answers_s = block.with_fan(), block.dead_time_s
    hold_w = max(0.0, min(POWER.check(heater_w), block.loss_w_k * (at_c - ambient_c)))
    full_c = settle_c(heater_w, ambient_c, blown)
    course, horizon = heating(hold_w, at_c, ambient_c, blown), horizon_s(blown, protection)
    held = course.stages[0].settle_c >= at_c or (answers_s == 0 and full_c >= at_c)
    course = _steady(course) if held else course.then(answers_s, full_c, blown.tau_s)
    falls = course.first(lambda c: c < at_c, 0.0, horizon)
    back = 0.0 if falls is None else course.first(lambda c: c >= at_c, falls, horizon)
    cut = monitor.holding(course, at_c, protection, back or horizon)
    return came_to(course, cut, back, horizon)
