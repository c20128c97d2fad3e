"""Allowed ranges of physical figures: what lies beyond is refused, a unit was mistaken."""

import math
from typing import Any

from pincheck.model.frozen import frozen


@frozen
class Range:
    """The allowed range of one quantity, both ends included; also serves as attrs validator."""

    quantity: str
    low: float
    high: float
    unit: str = ""

    def check(self, value: float) -> float:
        """Return `value`.

        Raises:
            ValueError: outside the range, or not a number; names the quantity and the range.
        """
        return allowed(self.quantity, value, self.low, self.high, self.unit)

    def __call__(self, _instance: Any, _attribute: Any, value: float) -> None:
        """Check a field of an attrs class."""
        self.check(value)


VOLTAGE = Range("voltage", 0.1, 450.0, "V")
CURRENT = Range("current", 0.0, 500.0, "A")
RATED_CURRENT = Range("rated current", 0.001, 1000.0, "A")
POWER = Range("power", 0.0, 5000.0, "W")
RATED_POWER = Range("rated power", 0.1, 5000.0, "W")
RESISTANCE = Range("resistance", 1e-4, 1e6, "ohm")
TOLERANCE = Range("tolerance", 0.0, 50.0, "%")
DUTY = Range("duty", 0.0, 1.0)
COUNT = Range("count", 1, 100)
AMBIENT = Range("ambient temperature", -50.0, 150.0, "C")
TEMPERATURE = Range("temperature", -60.0, 1500.0, "C")
DURATION = Range("time", 0.0, 1e6, "s")
FREQUENCY = Range("frequency", 0.001, 1e9, "Hz")


def allowed(quantity: str, value: float, low: float, high: float, unit: str) -> float:
    """Return `value` when it lies from `low` to `high`, both in `unit`.

    Raises:
        ValueError: outside, or not a number; names the quantity and its allowed range.
    """
    if math.isfinite(value) and low <= value <= high:
        return value
    tail = f" {unit}" if unit else ""
    raise ValueError(f"{quantity} {value:g}{tail}: allowed is {low:g} to {high:g}{tail}")
