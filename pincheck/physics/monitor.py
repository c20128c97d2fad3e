"""When a controller's thermal protection cuts the heater, given what its sensor shows.

Three families of algorithm, as commonly known and from memory, each with the settings of its
style: "window" (define style), "accumulated" (section style) and "model" (gcode style).
"""

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Literal

from attrs import field
from attrs.validators import optional

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import TEMPERATURE, Range
from pincheck.physics.thermal import Course

ProtectionKind = Literal["window", "accumulated", "model", "none"]
Cause = Literal["below minimum", "above maximum", "out of band", "error sum", "no rise", "slow"]

_BAND = Range("hysteresis", 0.0, 200.0, "K")
_PERIOD = Range("protection period", 0.1, 36_000.0, "s")
_WATCH = Range("time allowed for a rise", 0.0, 36_000.0, "s")
_INCREASE = Range("expected rise", 0.0, 200.0, "K")
_ERROR_SUM = Range("accumulated error", 0.0, 1e6, "K s")
_LOWEST = Range("lowest temperature taken for real", -300.0, 1500.0, "C")
_RATE = Range("model heating rate", 1e-4, 1000.0, "K/s")
_COOLING = Range("model cooling rate", 1e-4, 1000.0, "K/s")
_EXPONENT = Range("model cooling exponent", 0.5, 3.0)
_DEAD_TIME = Range("model dead time", 0.0, 600.0, "s")

CHECK_S = 1.0
"""Interval of the accumulated-error check."""

SAMPLE_S = 0.25
"""Interval of the model check."""

MODEL_SHARE = 0.75
MODEL_NOISE_K_S = 0.25
"""The model check forgives a heater of 75 % of the model's power and 0.25 K/s of noise."""

SETTINGS: Mapping[str, tuple[str, ...]] = {
    "window": ("trip_period_s", "trip_hysteresis_c", "watch_period_s", "watch_increase_c"),
    "accumulated": ("max_error_ks", "trip_hysteresis_c", "watch_period_s", "watch_increase_c"),
    "model": ("trip_period_s", "trip_hysteresis_c"),
    "none": (),
}
"""The settings of each kind; all are needed, but for the watch of a window."""


@frozen
class HeaterModel:
    """What the firmware's own model expects of a heater at full power.

    The reading rises by `rate_k_s` at ambient; a rise of R K above ambient takes
    `cooling_k_s` (R / 100) ^ `cooling_exponent` off that. Nothing shows for `dead_time_s`.
    """

    rate_k_s: float = field(validator=_RATE)
    cooling_k_s: float = field(validator=_COOLING)
    cooling_exponent: float = field(default=1.0, validator=_EXPONENT)
    dead_time_s: float = field(default=0.0, validator=_DEAD_TIME)

    def expects_k_s(self, rise_k: float) -> float:
        """Return the rate below which, noise forgiven, the check calls a rise too slow."""
        cooling = self.cooling_k_s * math.pow(max(rise_k, 0.0) / 100, self.cooling_exponent)
        return MODEL_SHARE * self.rate_k_s - cooling - MODEL_NOISE_K_S


@frozen
class Protection:
    """A heater's protection settings, free of style.

    - "window": the reading more than `trip_hysteresis_c` below target for `trip_period_s` cuts;
      while heating up, less than `watch_increase_c` in each `watch_period_s` cuts, until the
      reading is within increase + hysteresis + 1 K of the target. No watch where either is None
      or the period 0.
    - "accumulated": once a second, what the reading lacks to target - `trip_hysteresis_c` is
      summed in K s; at `max_error_ks` it cuts. While heating up, each gain of
      `watch_increase_c` within `watch_period_s` clears the sum.
    - "model": more than `trip_hysteresis_c` below target for `trip_period_s` cuts; so does, while
      heating up, a rise slower than `model` expects, summed up over `trip_period_s`.
    - "none": only `min_c` and `max_c`, which every kind has, cut.

    Raises:
        ValueError: an unknown kind, a setting missing that it needs, or one out of its range.
    """

    kind: ProtectionKind
    trip_hysteresis_c: float | None = field(default=None, validator=optional(_BAND))
    trip_period_s: float | None = field(default=None, validator=optional(_PERIOD))
    max_error_ks: float | None = field(default=None, validator=optional(_ERROR_SUM))
    watch_period_s: float | None = field(default=None, validator=optional(_WATCH))
    watch_increase_c: float | None = field(default=None, validator=optional(_INCREASE))
    model: HeaterModel | None = None
    max_c: float | None = field(default=None, validator=optional(TEMPERATURE))
    min_c: float | None = field(default=None, validator=optional(_LOWEST))

    def __attrs_post_init__(self) -> None:
        """Refuse a kind without the settings that it needs."""
        if self.kind not in SETTINGS:
            raise ValueError(f"protection {self.kind!r}: allowed is {', '.join(SETTINGS)}")
        for name in SETTINGS[self.kind]:
            optional_ = self.kind == "window" and name.startswith("watch_")
            if getattr(self, name) is None and not optional_:
                raise ValueError(f"{name} is not given; {self.kind!r} protection needs it")


WINDOW = Protection("window", 4.0, 40.0, watch_period_s=20.0, watch_increase_c=2.0)
ACCUMULATED = Protection(
    "accumulated", 5.0, max_error_ks=120.0, watch_period_s=20.0, watch_increase_c=2.0
)
MODEL = Protection("model", 15.0, 5.0)
"""The stock settings of each kind for a hot end (from memory)."""


@frozen
class Cut:
    """The moment at which the controller cuts the heater, and why."""

    after_s: float
    cause: Cause


# One machine is checked again with each edit that is tried, its heaters mostly unchanged.


@lru_cache(maxsize=256)
def holding(course: Course, target_c: float, protection: Protection, until_s: float) -> Cut | None:
    """Return the cut of a controller that has reached its target; None for none till `until_s`."""
    match protection.kind:
        case "window" | "model":
            floor_c = target_c - _given(protection.trip_hysteresis_c)
            cut = _out_of_band(course, floor_c, _given(protection.trip_period_s), until_s)
        case "accumulated":
            cut = _error_sum(course, target_c, protection, until_s, warming=False)
        case _:
            cut = None
    return _earlier(cut, _limit(course, protection, until_s))


@lru_cache(maxsize=256)
def warming(
    course: Course, target_c: float, ambient_c: float, protection: Protection, until_s: float
) -> Cut | None:
    """Return the cut of a controller that was just given its target; None for none till `until_s`.

    Without `Protection.model` the "model" kind is judged by its limits alone.
    """
    match protection.kind:
        case "window":
            cut = _no_rise(course, target_c, protection, until_s)
        case "accumulated":
            cut = _error_sum(course, target_c, protection, until_s, warming=True)
        case "model":
            cut = _slow(course, target_c, ambient_c, protection, until_s)
        case _:
            cut = None
    return _earlier(cut, _limit(course, protection, until_s))


def _given(value: float | None) -> float:
    assert value is not None, "checked when the protection was built"
    return value


def _earlier(one: Cut | None, other: Cut | None) -> Cut | None:
    return min((cut for cut in (one, other) if cut), key=lambda cut: cut.after_s, default=None)


def _limit(course: Course, protection: Protection, until_s: float) -> Cut | None:
    low, high = protection.min_c, protection.max_c
    below = None if low is None else course.first(lambda c: c < low, 0.0, until_s)
    above = None if high is None else course.first(lambda c: c > high, 0.0, until_s)
    return _earlier(
        None if below is None else Cut(below, "below minimum"),
        None if above is None else Cut(above, "above maximum"),
    )


def _out_of_band(course: Course, floor_c: float, period_s: float, until_s: float) -> Cut | None:
    back = 0.0
    while (out := course.first(lambda c: c < floor_c, back, until_s)) is not None:
        returns = course.first(lambda c: c >= floor_c, out, until_s)
        if returns is None or returns - out >= period_s:
            return Cut(out + period_s, "out of band")
        back = returns
    return None


def _no_rise(course: Course, target_c: float, protection: Protection, until_s: float) -> Cut | None:
    increase, period = protection.watch_increase_c, protection.watch_period_s
    if increase is None or not period:
        return None
    near = target_c - (increase + _given(protection.trip_hysteresis_c) + 1)
    start = 0.0
    while start < until_s and (reading := course.reading_c(start)) < near:
        start += period
        if course.reading_c(start) < reading + increase:
            return Cut(start, "no rise")
    return None


def _sampled(course: Course, step_s: float, until_s: float) -> Iterator[tuple[float, float]]:
    """Yield time and reading after each step."""
    known = _known(course, step_s)
    for number in range(1, int(until_s / step_s) + 1):
        if number not in known:
            known[number] = course.reading_c(number * step_s)
        yield number * step_s, known[number]


@lru_cache(maxsize=8)
def _known(course: Course, step_s: float) -> dict[int, float]:  # noqa: ARG001 - they are the key
    """Return the readings of a course found so far, by step: one course is watched many times."""
    return {}


def _error_sum(
    course: Course, target_c: float, protection: Protection, until_s: float, warming: bool
) -> Cut | None:
    gain = _given(protection.watch_increase_c)
    allowed_s = _given(protection.watch_period_s)
    floor = target_c - _given(protection.trip_hysteresis_c)
    error, approaching, starting = 0.0, warming, warming
    goal, deadline = course.reading_c(0.0) + gain, allowed_s
    for time, reading in _sampled(course, CHECK_S, until_s):
        if reading >= floor:
            if warming:
                return None
            error = 0.0
            continue
        error += floor - reading
        if not approaching:
            if error >= _given(protection.max_error_ks):
                return Cut(time, "error sum")
        elif reading >= goal:
            starting, error = False, 0.0
            goal, deadline = reading + gain, time + allowed_s
        elif time >= deadline:
            approaching = False
        elif starting:
            goal = min(goal, reading + gain)
    return None


def _slow(
    course: Course, target_c: float, ambient_c: float, protection: Protection, until_s: float
) -> Cut | None:
    model = protection.model
    if model is None:
        return None
    faults = 0
    for time, reading in _sampled(course, SAMPLE_S, until_s):
        if reading >= target_c - 1:
            return None
        late = course.rate_k_s(time) < model.expects_k_s(reading - ambient_c)
        slow = late and time > 2 * model.dead_time_s
        faults = faults + 1 if slow else max(0, faults - 1)
        if faults * SAMPLE_S > _given(protection.trip_period_s):
            return Cut(time, "slow")
    return None
