"""Absurd input refused, with the quantity and its allowed range."""

import math


def allowed(quantity: str, value: float, low: float, high: float, unit: str) -> float:
    """Return `value` when it lies from `low` to `high`, both in `unit`.

    Raises:
        ValueError: outside, or not a number; names the quantity and its allowed range.
    """
    if math.isfinite(value) and low <= value <= high:
        return value
    tail = f" {unit}" if unit else ""
    raise ValueError(f"{quantity} {value:g}{tail}: allowed is {low:g} to {high:g}{tail}")
