"""When a controller's thermal protection cuts the heater, given what its sensor shows.

Three families of algorithm, as commonly known and from memory, each with the settings of its
style: "window" (define style), "accumulated" (section style) and "model" (gcode style).
"""

from collections.abc import Iterator
from typing import Literal

from attrs import field, frozen
from attrs.validators import optional

from pincheck.physics.bounds import TEMPERATURE, Range
from pincheck.physics.thermal import Course

Kind = Literal["window", "accumulated", "model", "none"]
Cause = Literal["below minimum", "above maximum", "out of band", "error sum", "no rise", "slow"]

_BAND = Range("hysteresis", 0.0, 200.0, "K")
_PERIOD = Range("protection period", 0.1, 36_000.0, "s")
_INCREASE = Range("expected rise", 0.0, 200.0, "K")
_ERROR_SUM = Range("accumulated error", 0.0, 1e6, "K s")
_LOWEST = Range("lowest temperature taken for real", -300.0, 1500.0, "C")
_EXCURSION = Range("allowed excursion", 0.0, 200.0, "K")
_GAIN = Range("model gain", 1.0, 5000.0, "K")
_TAU = Range("model time constant", 0.1, 36_000.0, "s")

CHECK_S = 1.0
"""Interval of the accumulated-error check."""

SAMPLE_S = 0.25
"""Interval of the model check."""

MODEL_GAIN_SHARE = 0.75
MODEL_NOISE_K_S = 0.25
"""The model check forgives a heater of 75 % of the model's gain and 0.25 K/s of noise."""

_NEEDED: dict[str, tuple[str, ...]] = {
    "window": ("hysteresis_c", "period_s"),
    "accumulated": ("hysteresis_c", "max_error_c_s", "check_gain_s", "heating_gain_c"),
    "model": ("fault_s", "excursion_c"),
    "none": (),
}


@frozen
class HeaterModel:
    """What the firmware's own model expects: final rise at full power, time constant, dead time."""

    gain_k: float = field(validator=_GAIN)
    tau_s: float = field(validator=_TAU)
    dead_time_s: float = field(default=0.0, validator=Range("model dead time", 0.0, 600.0, "s"))


@frozen
class Protection:
    """A heater's protection settings, free of style.

    - "window": the reading more than `hysteresis_c` below target for `period_s` cuts; while
      heating up, less than `watch_increase_c` in each `watch_period_s` cuts, until the reading is
      within increase + hysteresis + 1 K of the target. No watch where these are None.
    - "accumulated": once a second, what the reading lacks to target - `hysteresis_c` is summed
      in K s; at `max_error_c_s` it cuts. While heating up, each gain of `heating_gain_c` within
      `check_gain_s` clears the sum.
    - "model": more than `excursion_c` below target for `fault_s` cuts; so does, while heating
      up, a rise slower than `model` expects, summed up over `fault_s`.
    - "none": only `min_c` and `max_c`, which every kind has, cut.

    Raises:
        ValueError: an unknown kind, a setting missing that it needs, or one out of its range.
    """

    kind: Kind
    hysteresis_c: float | None = field(default=None, validator=optional(_BAND))
    period_s: float | None = field(default=None, validator=optional(_PERIOD))
    watch_increase_c: float | None = field(default=None, validator=optional(_INCREASE))
    watch_period_s: float | None = field(default=None, validator=optional(_PERIOD))
    max_error_c_s: float | None = field(default=None, validator=optional(_ERROR_SUM))
    check_gain_s: float | None = field(default=None, validator=optional(_PERIOD))
    heating_gain_c: float | None = field(default=None, validator=optional(_INCREASE))
    fault_s: float | None = field(default=None, validator=optional(_PERIOD))
    excursion_c: float | None = field(default=None, validator=optional(_EXCURSION))
    model: HeaterModel | None = None
    max_c: float | None = field(default=None, validator=optional(TEMPERATURE))
    min_c: float | None = field(default=None, validator=optional(_LOWEST))

    def __attrs_post_init__(self) -> None:
        """Refuse a kind without the settings that it needs."""
        if self.kind not in _NEEDED:
            raise ValueError(f"protection {self.kind!r}: allowed is {', '.join(_NEEDED)}")
        for name in _NEEDED[self.kind]:
            if getattr(self, name) is None:
                raise ValueError(f"{name} is not given; {self.kind!r} protection needs it")


WINDOW = Protection(
    "window", hysteresis_c=4.0, period_s=40.0, watch_increase_c=2.0, watch_period_s=20.0
)
ACCUMULATED = Protection(
    "accumulated", hysteresis_c=5.0, max_error_c_s=120.0, check_gain_s=20.0, heating_gain_c=2.0
)
MODEL = Protection("model", fault_s=5.0, excursion_c=15.0)
"""What each kind takes for a hot end where the files say nothing (from memory)."""


@frozen
class Cut:
    """The moment at which the controller cuts the heater, and why."""

    after_s: float
    cause: Cause


def holding(course: Course, target_c: float, protection: Protection, until_s: float) -> Cut | None:
    """Return the cut of a controller that has reached its target; None for none till `until_s`."""
    match protection.kind:
        case "window":
            cut = _out_of_band(
                course,
                target_c - _given(protection.hysteresis_c),
                _given(protection.period_s),
                until_s,
            )
        case "model":
            cut = _out_of_band(
                course,
                target_c - _given(protection.excursion_c),
                _given(protection.fault_s),
                until_s,
            )
        case "accumulated":
            cut = _error_sum(course, target_c, protection, until_s, warming=False)
        case _:
            cut = None
    return _earlier(cut, _limit(course, protection, until_s))


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
    if increase is None or period is None:
        return None
    near = target_c - (increase + _given(protection.hysteresis_c) + 1)
    start = 0.0
    while start < until_s and (reading := course.reading_c(start)) < near:
        start += period
        if course.reading_c(start) < reading + increase:
            return Cut(start, "no rise")
    return None


def _ticks(step_s: float, until_s: float) -> Iterator[float]:
    return (number * step_s for number in range(1, int(until_s / step_s) + 1))


def _error_sum(
    course: Course, target_c: float, protection: Protection, until_s: float, warming: bool
) -> Cut | None:
    gain = _given(protection.heating_gain_c)
    allowed_s = _given(protection.check_gain_s)
    floor = target_c - _given(protection.hysteresis_c)
    error, approaching, starting = 0.0, warming, warming
    goal, deadline = course.reading_c(0.0) + gain, allowed_s
    for time in _ticks(CHECK_S, until_s):
        reading = course.reading_c(time)
        if reading >= floor:
            if warming:
                return None
            error = 0.0
            continue
        error += floor - reading
        if not approaching:
            if error >= _given(protection.max_error_c_s):
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
    ceiling = ambient_c + MODEL_GAIN_SHARE * model.gain_k
    faults = 0
    for time in _ticks(SAMPLE_S, until_s):
        reading = course.reading_c(time)
        if reading >= target_c - 1:
            return None
        expected = (ceiling - reading) / model.tau_s
        late = course.rate_k_s(time) + MODEL_NOISE_K_S < expected
        slow = late and time > 2 * model.dead_time_s
        faults = faults + 1 if slow else max(0, faults - 1)
        if faults * SAMPLE_S > _given(protection.fault_s):
            return Cut(time, "slow")
    return None
