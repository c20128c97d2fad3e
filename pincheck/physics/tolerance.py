"""How far a right sensor may read off because parts are not exact."""

import math

from attrs import frozen

from pincheck.physics.bounds import allowed
from pincheck.physics.curve import Curve, slope_ohm_k


@frozen
class Band:
    """Contributions in +-K at `true_c`, from the sensor's parts and the pull-up."""

    true_c: float
    r25_k: float
    beta_k: float
    pullup_k: float

    @property
    def worst_k(self) -> float:
        """All contributions in the same direction."""
        return self.r25_k + self.beta_k + self.pullup_k

    @property
    def rss_k(self) -> float:
        """Root sum square: what independent contributions give together."""
        return math.hypot(self.r25_k, self.beta_k, self.pullup_k)


def ntc_band(
    true_c: float,
    curve: Curve,
    r25_pct: float,
    beta_pct: float,
    pullup_pct: float = 1.0,
    t0_c: float = 25.0,
) -> Band:
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
    return Band(
        true_c,
        r25_k=kelvin_per_share * r25_pct,
        beta_k=kelvin_per_share * spread * beta_pct,
        pullup_k=kelvin_per_share * pullup_pct,
    )


def platinum_band(true_c: float, curve: Curve, class_k: float, pullup_pct: float = 1.0) -> Band:
    """Return the band of a platinum resistor of +-`class_k` at `true_c`, with its pull-up.

    `class_k` from `pincheck.physics.platinum.class_tolerance_k`, 0 to 50 K; `pullup_pct` 0 to
    50 %; a ValueError outside.
    """
    allowed("class tolerance", class_k, 0.0, 50.0, "K")
    allowed("tolerance of the pull-up", pullup_pct, 0.0, 50.0, "%")
    share_k = curve.ohm(true_c) / abs(slope_ohm_k(curve, true_c)) / 100.0
    return Band(true_c, r25_k=class_k, beta_k=0.0, pullup_k=share_k * pullup_pct)
