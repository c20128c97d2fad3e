"""What every resistive sensor curve offers."""

from typing import Protocol

from pincheck.physics.bounds import allowed

KELVIN = 273.15
"""0 C in kelvin (ITS-90)."""


class OutOfRange(ValueError):  # noqa: N818
    """A value outside a curve; `low` and `high` are the ends of what it holds, in `unit`."""

    def __init__(self, quantity: str, value: float, low: float, high: float, unit: str) -> None:
        super().__init__(f"{quantity} {value:g} {unit}: the curve holds {low:g} to {high:g} {unit}")
        self.value, self.low, self.high, self.unit = value, low, high, unit


class Curve(Protocol):
    """Resistance against temperature, strictly monotonic from `low_c` to `high_c`, in C."""

    @property
    def low_c(self) -> float: ...

    @property
    def high_c(self) -> float: ...

    def ohm(self, temp_c: float) -> float:
        """Return the resistance in ohm at `temp_c`.

        Raises:
            OutOfRange: `temp_c` is below `low_c` or above `high_c`.
        """

    def temp_c(self, ohm: float) -> float:
        """Return the temperature in C that gives `ohm`.

        Raises:
            OutOfRange: no temperature of the curve gives it.
        """


_ROUNDING = 1e-9


def inside_c(curve: Curve, temp_c: float) -> float:
    """Return `temp_c`, or raise OutOfRange when `curve` does not hold it."""
    if curve.low_c <= temp_c <= curve.high_c:
        return temp_c
    raise OutOfRange("temperature", temp_c, curve.low_c, curve.high_c, "C")


def inside_ohm(curve: Curve, ohm: float) -> float:
    """Return `ohm`, or raise OutOfRange when no temperature of `curve` gives it."""
    low, high = sorted((curve.ohm(curve.low_c), curve.ohm(curve.high_c)))
    if low * (1 - _ROUNDING) <= ohm <= high * (1 + _ROUNDING):
        return ohm
    raise OutOfRange("resistance", ohm, low, high, "ohm")


def slope_ohm_k(curve: Curve, temp_c: float) -> float:
    """Return dR/dT of `curve` at `temp_c` in ohm/K, negative for an NTC.

    A difference over 0.02 K, one-sided at the ends of the curve.
    """
    below, above = max(temp_c - 0.01, curve.low_c), min(temp_c + 0.01, curve.high_c)
    return (curve.ohm(above) - curve.ohm(below)) / (above - below)


def kelvin(temp_c: float, quantity: str = "temperature") -> float:
    """Return `temp_c` in kelvin; a ValueError below absolute zero or above 3000 C."""
    return allowed(quantity, temp_c, -KELVIN + 0.01, 3000.0, "C") + KELVIN
