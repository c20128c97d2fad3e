"""What the firmware believes while the part is at its true temperature."""

import math
from collections.abc import Iterator
from typing import Literal

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import allowed
from pincheck.physics.curve import Curve
from pincheck.physics.divider import Converter, full_scale

End = Literal["", "low", "high"]


@frozen
class SensorReading:
    """`believed_c` at `true_c`; `end` tells which end of the assumed curve it stuck at, if any."""

    true_c: float
    believed_c: float
    end: End = ""

    @property
    def error_c(self) -> float:
        """Believed less true: negative reads too cold, so the firmware overheats the part."""
        return self.believed_c - self.true_c


def reading(
    true_c: float,
    fitted: Curve,
    fitted_divider: Converter,
    assumed: Curve,
    assumed_divider: Converter,
) -> SensorReading:
    """Return what firmware that assumes one curve and divider reads from the fitted ones.

    Raises:
        OutOfRange: `fitted` does not hold `true_c`.
    """
    fraction = fitted_divider.fraction(fitted.ohm(true_c))
    return SensorReading(true_c, *_taken(assumed, assumed_divider.ohm_at(fraction)))


def believed_c(
    true_c: float,
    fitted: Curve,
    fitted_divider: Converter,
    assumed: Curve,
    assumed_divider: Converter,
) -> float:
    """Return `reading(...).believed_c`: the end of the assumed curve when outside it."""
    return reading(true_c, fitted, fitted_divider, assumed, assumed_divider).believed_c


def readings(
    fitted: Curve,
    fitted_divider: Converter,
    assumed: Curve,
    assumed_divider: Converter,
    low_c: float = 0.0,
    high_c: float = 300.0,
    step_c: float = 5.0,
) -> Iterator[SensorReading]:
    """Yield a reading every `step_c` of true temperature, both ends included.

    The range is cut to what `fitted` holds; nothing is yielded when nothing is left.

    Raises:
        ValueError: a step of less than 0.01 K, or more than 100000 steps.
    """
    allowed("step", step_c, 0.01, 1000.0, "K")
    low, high = max(low_c, fitted.low_c), min(high_c, fitted.high_c)
    if low > high:
        return
    steps = math.ceil((high - low) / step_c - 1e-9)
    allowed("number of steps", steps, 0, 100_000, "")
    for index in range(steps + 1):
        true_c = min(low + index * step_c, high)
        yield reading(true_c, fitted, fitted_divider, assumed, assumed_divider)


def worst_error(
    fitted: Curve,
    fitted_divider: Converter,
    assumed: Curve,
    assumed_divider: Converter,
    low_c: float = 0.0,
    high_c: float = 300.0,
    step_c: float = 5.0,
) -> tuple[float, float]:
    """Return (true C, error in K) of the largest error either way.

    Raises:
        ValueError: `fitted` holds nothing from `low_c` to `high_c`.
    """
    both = fitted, fitted_divider, assumed, assumed_divider
    worst = max(
        readings(*both, low_c, high_c, step_c), key=lambda it: abs(it.error_c), default=None
    )
    if worst is None:
        raise ValueError(
            f"range {low_c:g} to {high_c:g} C: allowed is what the fitted curve holds, "
            f"{fitted.low_c:g} to {fitted.high_c:g} C"
        )
    return worst.true_c, worst.error_c


def true_c_when(
    shown_c: float,
    fitted: Curve,
    fitted_divider: Converter,
    assumed: Curve,
    assumed_divider: Converter,
) -> SensorReading:
    """Return how hot the part really is when the firmware shows `shown_c`.

    `end` tells that the fitted curve ends before: the part is at least that hot or cold.

    Raises:
        OutOfRange: `assumed` does not hold `shown_c`.
    """
    fraction = assumed_divider.fraction(assumed.ohm(shown_c))
    true_c, end = _taken(fitted, fitted_divider.ohm_at(fraction))
    return SensorReading(true_c, shown_c, end)


def resolution_c(true_c: float, curve: Curve, divider: Converter) -> float:
    """Return the temperature step of one count at `true_c`, in K.

    Raises:
        OutOfRange: `curve` does not hold `true_c`.
    """
    top = full_scale(divider)
    at = divider.fraction(curve.ohm(true_c)) * top
    below, above = max(at - 0.5, 0.0), min(at + 0.5, float(top))
    ends = [_taken(curve, divider.ohm_at(counts / top))[0] for counts in (below, above)]
    return abs(ends[1] - ends[0]) / (above - below)


def unnoticed(shown_c: float, min_c: float, max_c: float) -> bool:
    """Tell whether `shown_c` lies strictly inside the firmware's limits, so nothing trips."""
    return min_c < shown_c < max_c


def _taken(curve: Curve, ohm: float) -> tuple[float, End]:
    """Return the temperature that `curve` gives for `ohm`, held at its ends."""
    cold_ohm, hot_ohm = curve.ohm(curve.low_c), curve.ohm(curve.high_c)
    falling = cold_ohm > hot_ohm
    if ohm > max(cold_ohm, hot_ohm):
        return (curve.low_c, "low") if falling else (curve.high_c, "high")
    if ohm < min(cold_ohm, hot_ohm):
        return (curve.high_c, "high") if falling else (curve.low_c, "low")
    return curve.temp_c(ohm), ""
