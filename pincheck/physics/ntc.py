"""NTC thermistors: the beta equation, Steinhart-Hart, and published resistance tables."""

import math
from bisect import bisect_right
from collections.abc import Iterable
from functools import cached_property
from itertools import pairwise
from typing import Self

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import allowed
from pincheck.physics.curve import KELVIN, inside_c, inside_ohm, kelvin

LOW_C, HIGH_C = -60.0, 500.0
"""Ends of an equation that names none: past every NTC bead on the market."""

_NO_CUBIC = 1e-18
"""A Steinhart-Hart C of less moves no temperature by a nanokelvin."""

CalibrationPoint = tuple[float, float]
"""Temperature in C and resistance in ohm."""


def _check_ends(low_c: float, high_c: float) -> None:
    allowed("low end of the curve", low_c, -150.0, 1500.0, "C")
    allowed("high end of the curve", high_c, -150.0, 1500.0, "C")
    if low_c >= high_c:
        raise ValueError(f"low end {low_c:g} C: allowed is below the high end, {high_c:g} C")


@frozen
class BetaCurve:
    """R = r0 exp(beta (1/T - 1/T0)), T in kelvin: the two-parameter law of thermistor data sheets.

    Good to a few kelvin within 50 K of `t0_c`; the right part can be 13 K off at 250 C.
    `r0_ohm` 0.1 to 1e9 ohm, `beta_k` 100 to 20000 K; a ValueError outside.
    """

    r0_ohm: float
    t0_c: float
    beta_k: float
    low_c: float = LOW_C
    high_c: float = HIGH_C

    def __attrs_post_init__(self) -> None:
        allowed("resistance at the reference point", self.r0_ohm, 0.1, 1e9, "ohm")
        allowed("beta", self.beta_k, 100.0, 20000.0, "K")
        allowed("reference point", self.t0_c, -100.0, 500.0, "C")
        _check_ends(self.low_c, self.high_c)

    def ohm(self, temp_c: float) -> float:
        inverse = 1.0 / (inside_c(self, temp_c) + KELVIN) - 1.0 / (self.t0_c + KELVIN)
        return self.r0_ohm * math.exp(self.beta_k * inverse)

    def temp_c(self, ohm: float) -> float:
        log_ratio = math.log(inside_ohm(self, ohm) / self.r0_ohm)
        return 1.0 / (1.0 / (self.t0_c + KELVIN) + log_ratio / self.beta_k) - KELVIN


@frozen
class SteinhartHartCurve:
    """1/T = a + b ln R + c (ln R)^3, T in kelvin, R in ohm.

    Source: J. S. Steinhart and S. R. Hart, Deep-Sea Research 15 (1968) 497.
    A ValueError for letters whose resistance does not fall all the way from `low_c` to `high_c`.
    """

    a: float
    b: float
    c: float
    low_c: float = LOW_C
    high_c: float = HIGH_C

    def __attrs_post_init__(self) -> None:
        allowed("Steinhart-Hart A", self.a, -0.1, 0.1, "1/K")
        allowed("Steinhart-Hart B", self.b, 1e-6, 0.01, "1/K")
        allowed("Steinhart-Hart C", self.c, -1e-4, 1e-4, "1/K")
        _check_ends(self.low_c, self.high_c)
        for temp_c in (self.low_c, self.high_c):
            allowed(f"ln R at {temp_c:g} C", self._log_ohm(temp_c), -50.0, 100.0, "")

    @classmethod
    def from_points(
        cls, points: Iterable[CalibrationPoint], low_c: float = LOW_C, high_c: float = HIGH_C
    ) -> Self:
        """Fit the letters through three (C, ohm) points.

        Raises:
            ValueError: not three points, two of one temperature, or points no NTC could have.
        """
        return cls(*cls.through(points), low_c, high_c)

    @staticmethod
    def through(points: Iterable[CalibrationPoint]) -> tuple[float, float, float]:
        """Return the letters a, b and c of the only such curve through three (C, ohm) points.

        Raises:
            ValueError: not three points, or not rising temperatures with falling resistances.
        """
        rows = sorted(points)
        if len(rows) != 3:
            raise ValueError(f"{len(rows)} points: allowed are exactly 3")
        for warm, hot in pairwise(rows):
            if not warm[0] < hot[0] or not warm[1] > hot[1]:
                raise ValueError(
                    f"points {warm[0]:g} C {warm[1]:g} ohm and {hot[0]:g} C {hot[1]:g} ohm: "
                    "allowed are rising temperatures with falling resistances"
                )
        (y1, y2, y3) = (1.0 / kelvin(temp_c, "point") for temp_c, _ in rows)
        (x1, x2, x3) = (
            math.log(allowed("resistance of a point", ohm, 0.01, 1e10, "ohm")) for _, ohm in rows
        )
        slope_12, slope_13 = (y2 - y1) / (x2 - x1), (y3 - y1) / (x3 - x1)
        c = (slope_13 - slope_12) / (x3 - x2) / (x1 + x2 + x3)
        b = slope_12 - c * (x1 * x1 + x1 * x2 + x2 * x2)
        return y1 - x1 * (b + c * x1 * x1), b, c

    @classmethod
    def from_letters(
        cls,
        r25_ohm: float,
        beta_k: float,
        c: float = 0.0,
        low_c: float = LOW_C,
        high_c: float = HIGH_C,
    ) -> Self:
        """Return the curve of the letters T (or R25), B and C of start-up scripts.

        b = 1/beta, c as given, and a from the point 25 C (common practice); with c = 0 this is
        the beta equation.
        """
        log_r25 = math.log(allowed("resistance at 25 C", r25_ohm, 0.1, 1e9, "ohm"))
        b = 1.0 / allowed("beta", beta_k, 100.0, 20000.0, "K")
        allowed("Steinhart-Hart C", c, -1e-4, 1e-4, "1/K")
        return cls(1.0 / (25.0 + KELVIN) - log_r25 * (b + c * log_r25**2), b, c, low_c, high_c)

    def letters(self) -> tuple[float, float, float]:
        """Return R25 in ohm, beta in K and C: what `from_letters` takes."""
        return self.ohm(25.0), 1.0 / self.b, self.c

    def ohm(self, temp_c: float) -> float:
        return math.exp(self._log_ohm(inside_c(self, temp_c)))

    def temp_c(self, ohm: float) -> float:
        x = math.log(inside_ohm(self, ohm))
        return 1.0 / (self.a + x * (self.b + self.c * x * x)) - KELVIN

    def _log_ohm(self, temp_c: float) -> float:
        """Solve the cubic for ln R; nan past the turning point that a negative C makes."""
        rest = self.a - 1.0 / (temp_c + KELVIN)
        if abs(self.c) < _NO_CUBIC:
            return -rest / self.b
        # The hyperbolic and trigonometric forms keep their digits however small C is.
        p, q = self.b / abs(self.c), rest / abs(self.c)
        reach = 2.0 * math.sqrt(p / 3.0)
        sine = -3.0 * q / (p * reach)
        if self.c > 0.0:
            return reach * math.sinh(math.asinh(sine) / 3.0)
        return reach * math.sin(math.asin(sine) / 3.0) if abs(sine) <= 1.0 else math.nan


def _rising(points: Iterable[CalibrationPoint]) -> tuple[CalibrationPoint, ...]:
    return tuple(sorted((float(temp_c), float(ohm)) for temp_c, ohm in points))


@frozen(slots=False)
class TableCurve:
    """A published resistance table, (C, ohm), interpolated linearly in ln R against 1/T.

    Exact at every point. A 100 k glass bead's law bends so little that leaving out every other
    point of a table in steps of 10 K moves none by more than 0.1 K.
    A ValueError for fewer than two points or resistances that do not fall.
    """

    points: tuple[CalibrationPoint, ...] = field(converter=_rising)

    def __attrs_post_init__(self) -> None:
        if len(self.points) < 2:
            raise ValueError(f"{len(self.points)} points: allowed are 2 or more")
        for temp_c, ohm in self.points:
            kelvin(temp_c, "point")
            allowed("resistance of a point", ohm, 0.001, 1e12, "ohm")
        for warm, hot in pairwise(self.points):
            if warm[0] == hot[0] or warm[1] <= hot[1]:
                raise ValueError(
                    f"points {warm[0]:g} C {warm[1]:g} ohm and {hot[0]:g} C {hot[1]:g} ohm: "
                    "allowed are resistances that fall as the temperature rises"
                )

    @property
    def low_c(self) -> float:
        return self.points[0][0]

    @property
    def high_c(self) -> float:
        return self.points[-1][0]

    def ohm(self, temp_c: float) -> float:
        inverse = 1.0 / (inside_c(self, temp_c) + KELVIN)
        return math.exp(_between(self._hot_first, self._log_hot_first, inverse))

    def temp_c(self, ohm: float) -> float:
        log_ohm = math.log(inside_ohm(self, ohm))
        return 1.0 / _between(self._log_hot_first, self._hot_first, log_ohm) - KELVIN

    @cached_property
    def _hot_first(self) -> tuple[float, ...]:
        return tuple(1.0 / (temp_c + KELVIN) for temp_c, _ in reversed(self.points))

    @cached_property
    def _log_hot_first(self) -> tuple[float, ...]:
        return tuple(math.log(ohm) for _, ohm in reversed(self.points))


def _between(xs: tuple[float, ...], ys: tuple[float, ...], x: float) -> float:
    at = min(max(bisect_right(xs, x), 1), len(xs) - 1)
    share = (x - xs[at - 1]) / (xs[at] - xs[at - 1])
    return ys[at - 1] + share * (ys[at] - ys[at - 1])
