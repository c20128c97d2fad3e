"""How a converter sees a resistive sensor: divider with pull-up, or an RTD amplifier."""

import math
from typing import Protocol

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import allowed


class Converter(Protocol):
    """Turns ohm into a fraction of the converter's full scale, 0 to 1, and back."""

    @property
    def bits(self) -> int: ...

    def fraction(self, ohm: float) -> float: ...

    def ohm_at(self, fraction: float) -> float: ...


@frozen
class Divider:
    """Pull-up to the reference over sensor to ground: fraction = R / (R + pull-up).

    Ratiometric: the reference cancels when the pull-up hangs on it. `series_ohm` lies in the
    sensor's own branch (wire, in-line resistor). `scale` is the voltage above the pull-up over
    the converter's reference, times any amplifier gain: 5/3.3 for a 5 V pull-up on a 3.3 V
    converter. `tolerance_pct` is the pull-up's own.
    Allowed: pull-up 1 to 1e7 ohm, 4 to 24 bits, tolerance 0 to 50 %, series 0 to 1e6 ohm,
    scale 0.01 to 1000; a ValueError outside.
    """

    pullup_ohm: float
    bits: int = 12
    tolerance_pct: float = 1.0
    series_ohm: float = 0.0
    scale: float = 1.0

    def __attrs_post_init__(self) -> None:
        allowed("pull-up", self.pullup_ohm, 1.0, 1e7, "ohm")
        allowed("converter resolution", self.bits, 4, 24, "bits")
        allowed("pull-up tolerance", self.tolerance_pct, 0.0, 50.0, "%")
        allowed("series resistance", self.series_ohm, 0.0, 1e6, "ohm")
        allowed("scale of the divider", self.scale, 0.01, 1000.0, "")

    def fraction(self, ohm: float) -> float:
        """Return the fraction of full scale, 0 to 1, for `ohm` of sensor; inf is a broken wire."""
        if math.isnan(ohm) or ohm < 0:
            raise ValueError(f"resistance {ohm:g} ohm: allowed is 0 to inf ohm")
        branch = ohm + self.series_ohm
        share = 1.0 if math.isinf(branch) else branch / (branch + self.pullup_ohm)
        return min(self.scale * share, 1.0)

    def ohm_at(self, fraction: float) -> float:
        """Return the sensor's ohm behind a fraction of full scale, 0 to 1; inf past the pull-up."""
        share = allowed("fraction of full scale", fraction, 0.0, 1.0, "") / self.scale
        if share >= 1.0:
            return math.inf
        return max(0.0, self.pullup_ohm * share / (1.0 - share) - self.series_ohm)


@frozen
class RtdAmplifier:
    """A ratiometric RTD converter: fraction = R / reference, full scale at the reference.

    `reference_ohm` 10 to 1e5 ohm, `bits` 8 to 24 (15 is usual); a ValueError outside.
    """

    reference_ohm: float
    bits: int = 15

    def __attrs_post_init__(self) -> None:
        allowed("reference resistor", self.reference_ohm, 10.0, 1e5, "ohm")
        allowed("converter resolution", self.bits, 8, 24, "bits")

    def fraction(self, ohm: float) -> float:
        """Return the fraction of full scale, 0 to 1, for `ohm` of sensor; inf is a broken wire."""
        if math.isnan(ohm) or ohm < 0:
            raise ValueError(f"resistance {ohm:g} ohm: allowed is 0 to inf ohm")
        return min(ohm / self.reference_ohm, 1.0)

    def ohm_at(self, fraction: float) -> float:
        """Return the sensor's ohm behind a fraction of full scale, 0 to 1."""
        return allowed("fraction of full scale", fraction, 0.0, 1.0, "") * self.reference_ohm


def full_scale(converter: Converter) -> int:
    """Return the highest reading of `converter` in counts."""
    return int(2**converter.bits - 1)


def parallel_ohm(*ohms: float) -> float:
    """Return resistors in parallel, as two boards' pull-ups on one sensor wire.

    Raises:
        ValueError: none given, or one not 0.001 to 1e9 ohm.
    """
    if not ohms:
        raise ValueError("0 resistors: allowed are 1 or more")
    return 1.0 / sum(1.0 / allowed("resistor", ohm, 1e-3, 1e9, "ohm") for ohm in ohms)
