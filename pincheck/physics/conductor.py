"""What tracks, wires and contacts carry, and what they lose."""

import math
from typing import Literal

from pincheck.physics.bounds import COUNT, RATED_CURRENT, Range

Layer = Literal["outer", "inner"]

_WIDTH = Range("track width", 0.05, 100.0, "mm")
_WEIGHT = Range("copper weight", 0.25, 12.0, "oz")
_RISE = Range("temperature rise", 0.1, 300.0, "K")
_AWG = Range("wire gauge", 0, 40, "AWG")
_LENGTH = Range("wire length", 0.0, 100.0, "m")
_COPPER_C = Range("copper temperature", -60.0, 250.0, "C")

OUNCE_MM = 0.035
"""Thickness of 1 oz/sq ft copper: the 35 um that the trade counts with (`common practice`)."""

_SQUARE_MIL_MM2 = 0.0254**2
LAYER_FACTOR: dict[str, float] = {"outer": 0.048, "inner": 0.024}
_COPPER_OHM_MM2_M = 1 / 58
_COPPER_PER_K = 0.00393

CHASSIS_A: dict[int, float] = {
    8: 73.0, 9: 64.0, 10: 55.0, 11: 47.0, 12: 41.0, 13: 35.0, 14: 32.0, 15: 28.0, 16: 22.0,
    17: 19.0, 18: 16.0, 19: 14.0, 20: 11.0, 21: 9.0, 22: 7.0, 23: 4.7, 24: 3.5, 25: 2.7,
    26: 2.2, 27: 1.7, 28: 1.4, 29: 1.2, 30: 0.86, 31: 0.7, 32: 0.53, 33: 0.43, 34: 0.33, 35: 0.27,
    36: 0.21, 37: 0.17, 38: 0.13, 39: 0.11, 40: 0.09,
}  # fmt: skip
"""Highest current by gauge for a single wire in free air, A.

Source: chassis wiring column of the Handbook of Electronic Tables and Formulas (American wire
gauge), values from memory.
"""

_BUNDLE: tuple[tuple[int, float], ...] = (
    (3, 1.0),
    (6, 0.8),
    (9, 0.7),
    (20, 0.5),
    (30, 0.45),
    (40, 0.4),
    (100, 0.35),
)

PARALLEL_CONTACTS = 0.8
"""Share of the summed rating that contacts in parallel carry (`common practice`).

Contact resistances differ: of two at 1 : 1.5 the better one takes 60 % of the current, so the
pair is full at 1 / 0.6 = 1.67 times the rating of one, 83 % of the sum.
"""


def _area_square_mil(width_mm: float, weight_oz: float) -> float:
    return _WIDTH.check(width_mm) * _WEIGHT.check(weight_oz) * OUNCE_MM / _SQUARE_MIL_MM2


def _factor(layer: Layer) -> float:
    if layer not in LAYER_FACTOR:
        raise ValueError(f"layer {layer!r}: allowed is 'outer' or 'inner'")
    return LAYER_FACTOR[layer]


def track_current_a(
    width_mm: float, weight_oz: float, layer: Layer = "outer", rise_k: float = 10.0
) -> float:
    """Return the current that warms a track by `rise_k` over its surroundings.

    I = k dT^0.44 A^0.725, A in square mil, k = 0.048 outer and 0.024 inner. Source: IPC-2221,
    closed form of its chart (10 to 100 K, up to 35 A outer and 17.5 A inner).

    Raises:
        ValueError: width, weight, layer or rise outside its allowed range.
    """
    area = _area_square_mil(width_mm, weight_oz)
    return float(_factor(layer) * _RISE.check(rise_k) ** 0.44 * area**0.725)


def awg_diameter_mm(n: int) -> float:
    """Return the diameter of a solid wire, 0.127 mm x 92^((36 - n) / 39) (ASTM B258).

    Raises:
        ValueError: gauge outside 0 to 40.
    """
    return float(0.127 * 92 ** ((36 - _AWG.check(n)) / 39))


def wire_ohm_m(awg: int, copper_c: float = 20.0) -> float:
    """Return the resistance of one metre of one copper conductor.

    Annealed copper, 1/58 ohm mm2/m at 20 C and 0.00393 per K (IEC 60028); area by ASTM B258.

    Raises:
        ValueError: gauge or temperature outside its allowed range.
    """
    area_mm2 = math.pi / 4 * awg_diameter_mm(awg) ** 2
    return _COPPER_OHM_MM2_M / area_mm2 * (1 + _COPPER_PER_K * (_COPPER_C.check(copper_c) - 20))


def track_ohm(width_mm: float, weight_oz: float, length_mm: float) -> float:
    """Return the resistance of a copper track at 20 C, as of annealed copper (IEC 60028).

    Raises:
        ValueError: width, weight or length outside its allowed range.
    """
    area_mm2 = _WIDTH.check(width_mm) * _WEIGHT.check(weight_oz) * OUNCE_MM
    return _COPPER_OHM_MM2_M * _LENGTH.check(length_mm / 1000) / area_mm2


def wire_current_a(awg: int, loaded: int = 1) -> float:
    """Return the highest lasting current of a wire among `loaded` current-carrying ones.

    One wire: `CHASSIS_A`. Bundles: the adjustment factors of NFPA 70, table 310.15(C)(1)
    (up to 3 conductors 100 %, 6 80 %, 9 70 %, 20 50 %, 30 45 %, 40 40 %, more 35 %; from memory).

    Raises:
        ValueError: gauge outside the table, or count outside its allowed range.
    """
    Range("wire gauge", min(CHASSIS_A), max(CHASSIS_A), "AWG").check(awg)
    COUNT.check(loaded)
    return CHASSIS_A[awg] * next(factor for most, factor in _BUNDLE if loaded <= most)


def contacts_current_a(contact_a: float, count: int) -> float:
    """Return what `count` contacts of a rating carry in parallel, with `PARALLEL_CONTACTS`.

    Raises:
        ValueError: rating or count outside its allowed range.
    """
    share = 1.0 if COUNT.check(count) == 1 else PARALLEL_CONTACTS
    return RATED_CURRENT.check(contact_a) * count * share
