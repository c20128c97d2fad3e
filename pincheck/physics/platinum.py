"""Platinum resistors by Callendar-Van Dusen, IEC 60751:2008."""

import math

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import allowed
from pincheck.physics.curve import inside_c, inside_ohm

A, B, C = 3.9083e-3, -5.775e-7, -4.183e-12
"""Constants of IEC 60751 for platinum of 0.00385 /K."""


@frozen
class PlatinumCurve:
    """R = R0 (1 + A t + B t^2) from 0 C, with + C (t - 100) t^3 below; -200 to 850 C.

    `r0_ohm` is the resistance at 0 C, 1 to 100000 ohm; a ValueError outside. `low_c` and `high_c`
    are nearer together for a firmware's table that ends.
    """

    r0_ohm: float
    low_c: float = -200.0
    high_c: float = 850.0

    def __attrs_post_init__(self) -> None:
        allowed("resistance at 0 C", self.r0_ohm, 1.0, 1e5, "ohm")

    def ohm(self, temp_c: float) -> float:
        t = inside_c(self, temp_c)
        cold = C * (t - 100.0) * t**3 if t < 0 else 0.0
        return self.r0_ohm * (1.0 + A * t + B * t * t + cold)

    def temp_c(self, ohm: float) -> float:
        ratio = inside_ohm(self, ohm) / self.r0_ohm
        t = (-A + math.sqrt(A * A - 4.0 * B * (1.0 - ratio))) / (2.0 * B)
        if ratio < 1.0:
            # The quadratic is within 2.4 K down to -200 C, so Newton settles in a few steps.
            for _ in range(6):
                over = 1.0 + A * t + B * t * t + C * (t - 100.0) * t**3 - ratio
                t -= over / (A + 2.0 * B * t + C * (4.0 * t**3 - 300.0 * t * t))
        return min(max(t, self.low_c), self.high_c)


_CLASSES = {"AA": (0.1, 0.0017), "A": (0.15, 0.002), "B": (0.3, 0.005), "C": (0.6, 0.01)}


def class_tolerance_k(temp_c: float, grade: str = "B") -> float:
    """Return the tolerance in +-K of a platinum resistor of class AA, A, B or C at `temp_c`.

    IEC 60751:2008 table 3, for example +-(0.3 + 0.005 |t|) for class B.

    Raises:
        ValueError: another class, or a temperature outside -200 to 850 C.
    """
    if grade not in _CLASSES:
        raise ValueError(f"tolerance class {grade!r}: allowed are {', '.join(_CLASSES)}")
    fixed_k, share = _CLASSES[grade]
    return fixed_k + share * abs(allowed("temperature", temp_c, -200.0, 850.0, "C"))
