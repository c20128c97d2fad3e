"""How far a right sensor may read off because parts are not exact."""

import math

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import allowed
from pincheck.physics.curve import Curve, slope_ohm_k


@frozen
class ToleranceBand:
    """Contributions in +-K at `true_c`, from the sensor's parts and whatever reads it.

    `converter_k` is the converter's own error, `curve_k` what the part's curve is not known by.
    """

    true_c: float
    r25_k: float
    beta_k: float
    pullup_k: float
    converter_k: float = 0.0
    curve_k: float = 0.0

    @property
    def worst_k(self) -> float:
        """All contributions in the same direction."""
        return sum(kelvin for _, kelvin in self.parts)

    @property
    def rss_k(self) -> float:
        """Root sum square: what independent contributions give together."""
        return math.hypot(*(kelvin for _, kelvin in self.parts))

    @property
    def parts(self) -> tuple[tuple[str, float], ...]:
        """The contributions by name, those of nothing left out."""
        rows = (
            ("part", self.r25_k),
            ("beta", self.beta_k),
            ("pull-up", self.pullup_k),
            ("converter", self.converter_k),
            ("curve", self.curve_k),
        )
        return tuple(row for row in rows if row[1])

    @property
    def said(self) -> str:
        """The contributions in words."""
        return ", ".join(f"{name} {kelvin:.2g} K" for name, kelvin in self.parts)


def ntc_band(
    true_c: float,
    curve: Curve,
    r25_pct: float,
    beta_pct: float,
    pullup_pct: float = 1.0,
    t0_c: float = 25.0,
) -> ToleranceBand:
    """Return the band of an NTC of `r25_pct` at `t0_c` and `beta_pct`, with its pull-up.

    To first order dT = (dR/R) / |d ln R / dT|; the part's share is `r25_pct`, the beta's
    beta |1/T - 1/T0| times `beta_pct` with the beta between T0 and T, and the pull-up's
    `pullup_pct`, since only R over pull-up counts. Percentages 0 to 50; a ValueError outside.
    """
    for quantity, value in (
        ("tolerance of R25", r25_pct),
        ("tolerance of beta", beta_pct),
        ("tolerance of the pull-up", pullup_pct),
    ):
        allowed(quantity, value, 0.0, 50.0, "%")
    ohm = curve.ohm(true_c)
    kelvin_per_share = ohm / abs(slope_ohm_k(curve, true_c)) / 100.0
    spread = abs(math.log(ohm / curve.ohm(t0_c)))
    return ToleranceBand(
        true_c,
        r25_k=kelvin_per_share * r25_pct,
        beta_k=kelvin_per_share * spread * beta_pct,
        pullup_k=kelvin_per_share * pullup_pct,
    )


def platinum_band(
    true_c: float, curve: Curve, class_k: float, pullup_pct: float = 1.0
) -> ToleranceBand:
    """Return the band of a platinum resistor of +-`class_k` at `true_c`, with its pull-up.

    `class_k` from `pincheck.physics.platinum.class_tolerance_k`, 0 to 50 K; `pullup_pct` 0 to
    50 %; a ValueError outside.
    """
    allowed("class tolerance", class_k, 0.0, 50.0, "K")
    allowed("tolerance of the pull-up", pullup_pct, 0.0, 50.0, "%")
    share_k = curve.ohm(true_c) / abs(slope_ohm_k(curve, true_c)) / 100.0
    return ToleranceBand(true_c, r25_k=class_k, beta_k=0.0, pullup_k=share_k * pullup_pct)
