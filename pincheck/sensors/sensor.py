"""One sensor of the catalogue, or one that a user described."""

from collections.abc import Iterable
from itertools import pairwise
from typing import Literal

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.physics.curve import Curve
from pincheck.physics.divider import Divider
from pincheck.physics.platinum import class_tolerance_k
from pincheck.physics.thermocouple import Thermocouple, ThermocoupleAmplifier
from pincheck.physics.tolerance import ToleranceBand, ntc_band, platinum_band

SensorKind = Literal["ntc", "platinum", "thermocouple", "amplifier", "digital", "none"]


def _pairs(rows: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    return tuple((float(temp_c), float(kelvin)) for temp_c, kelvin in rows)


def _ids(row: Iterable[str]) -> tuple[str, ...]:
    return tuple(row)


def _ends(row: Iterable[float] | None) -> tuple[float, float] | None:
    if row is None:
        return None
    cold_c, hot_c = row
    return float(cold_c), float(hot_c)


def _three(row: Iterable[float] | None) -> tuple[float, float, float] | None:
    if row is None:
        return None
    r25_ohm, beta_k, c = row
    return float(r25_ohm), float(beta_k), float(c)


@frozen
class Sensor:
    """A sensor under a neutral id: a part, or what a firmware assumes under a spelling.

    `curve` is None where resistance means nothing or where nothing is known; then `reason`
    says why, and a check with numbers is "not checked". `modelled` marks a curve that no
    published table backs; `uncertainty` holds (C, +-K) of the curve itself, apart from the
    part's tolerance (`r25_pct`, `beta_pct`). `max_c` is the part's own rating.
    `pullup_ohm` is what the standard use assumes, `scale` the pull-up's voltage over the
    converter's reference times any gain. `elements` are the ids that an amplifier reads,
    `chips` its names in a wiring, `interchangeable` the ids that one firmware table serves as
    well. `fixed_c` is the temperature that a firmware without a sensor pretends. `letters`
    are R25, B and C as the trade writes this part in start-up scripts.
    """

    id: str
    name: str
    kind: SensorKind
    curve: Curve | None = None
    pullup_ohm: float | None = None
    source: str = ""
    modelled: bool = False
    uncertainty: tuple[tuple[float, float], ...] = field(default=(), converter=_pairs)
    max_c: float | None = None
    reason: str = ""
    r25_pct: float = 0.0
    beta_pct: float = 0.0
    scale: float = 1.0
    reference_ohm: float | None = None
    thermocouple: Thermocouple | None = None
    amplifier: ThermocoupleAmplifier | None = None
    elements: tuple[str, ...] = field(default=(), converter=_ids)
    chips: tuple[str, ...] = field(default=(), converter=_ids)
    interchangeable: tuple[str, ...] = field(default=(), converter=_ids)
    fixed_c: float | None = None
    reads_c: tuple[float, float] | None = field(default=None, converter=_ends)
    letters: tuple[float, float, float] | None = field(default=None, converter=_three)
    note: str = ""

    def uncertainty_k(self, temp_c: float) -> float:
        """Return +-K of the curve at `temp_c`, interpolated and held at its ends; 0 if none."""
        rows = self.uncertainty
        if not rows:
            return 0.0
        for (cold_c, cold_k), (hot_c, hot_k) in pairwise(rows):
            if cold_c <= temp_c <= hot_c:
                return cold_k + (hot_k - cold_k) * (temp_c - cold_c) / (hot_c - cold_c)
        return rows[0][1] if temp_c < rows[0][0] else rows[-1][1]

    def divider(
        self,
        pullup_ohm: float | None = None,
        bits: int = 12,
        tolerance_pct: float = 1.0,
        series_ohm: float = 0.0,
    ) -> Divider:
        """Return the divider that this sensor's standard use assumes, or with `pullup_ohm`.

        Raises:
            ValueError: neither gives a pull-up, or a value is absurd.
        """
        ohm = self.pullup_ohm if pullup_ohm is None else pullup_ohm
        if ohm is None:
            raise ValueError(f"pull-up of {self.id}: allowed is 1 to 1e+07 ohm, none is known")
        return Divider(ohm, bits, tolerance_pct, series_ohm, self.scale)

    def band(self, true_c: float, pullup_pct: float = 1.0) -> ToleranceBand | None:
        """Return the tolerance band at `true_c`; None without a curve. Platinum is class B.

        Raises:
            OutOfRange: the curve does not hold `true_c`.
        """
        if self.curve is None:
            return None
        if self.kind == "ntc":
            return ntc_band(true_c, self.curve, self.r25_pct, self.beta_pct, pullup_pct)
        return platinum_band(true_c, self.curve, class_tolerance_k(true_c), pullup_pct)
