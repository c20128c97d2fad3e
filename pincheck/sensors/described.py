"""Sensors that a user's own keys or letters describe."""

import math
from collections.abc import Iterable

from attrs import evolve

from pincheck.physics.curve import KELVIN, Curve, OutOfRange
from pincheck.physics.ntc import BetaCurve, CalibrationPoint, SteinhartHartCurve
from pincheck.physics.platinum import PlatinumCurve
from pincheck.physics.shares import SharesCurve
from pincheck.sensors.catalogue import catalogue
from pincheck.sensors.sensor import Sensor
from pincheck.sensors.spelling import HOT_C, READS_RIGHT_K, misread_k

DEFAULT_LETTERS = (100000.0, 4725.0, 7.06e-8)
"""R25, B and C of a start-up script that gives none (from memory)."""

_ANY_OHM = 4700.0
"""What shares are turned to ohm with where no pull-up is known: it cancels out."""

LIKE_K = 0.5
PROBED_C = (25.0, 100.0, 150.0, 200.0, 250.0)


def from_beta(
    r25_ohm: float, beta_k: float, pullup_ohm: float | None = None, t0_c: float = 25.0
) -> Sensor:
    """Return the sensor of a resistance at `t0_c` and a beta, as the beta equation.

    Its id is the catalogue's when R25 and beta are those of an entry, else made from them.

    Raises:
        ValueError: a value is absurd; names it and its allowed range.
    """
    curve = BetaCurve(r25_ohm, t0_c, beta_k)
    return _described(curve, _id(curve.ohm(25.0), beta_k), pullup_ohm, "beta equation")


def from_letters(
    r25_ohm: float | None = None,
    beta_k: float | None = None,
    c: float | None = None,
    pullup_ohm: float | None = None,
) -> Sensor:
    """Return the sensor of the letters T, B and C of a start-up script.

    Letters left out are 100 k, and 4725 with 7.06e-8 when both are left out; a B alone goes
    with C = 0 (from memory).

    Raises:
        ValueError: a value is absurd; names it and its allowed range.
    """
    r25 = DEFAULT_LETTERS[0] if r25_ohm is None else r25_ohm
    beta = DEFAULT_LETTERS[1] if beta_k is None else beta_k
    cubic = (DEFAULT_LETTERS[2] if beta_k is None else 0.0) if c is None else c
    if cubic == 0.0:
        return from_beta(r25, beta, pullup_ohm)
    curve = SteinhartHartCurve.from_letters(r25, beta, cubic)
    return _described(curve, f"{_id(r25, beta)}-c{cubic:.3g}", pullup_ohm, "Steinhart-Hart letters")


def from_points(points: Iterable[CalibrationPoint], pullup_ohm: float | None = None) -> Sensor:
    """Return the sensor of three (C, ohm) points, as Steinhart-Hart through them.

    Where that curve would bend the wrong way, firmware leaves the middle point out and takes the
    beta of the outer ones (from memory).

    Raises:
        ValueError: not three points, or points that no NTC could have.
    """
    rows = sorted(points)
    a, b, c = SteinhartHartCurve.through(rows)
    if c <= 0.0:
        (cold_c, cold_ohm), _, (hot_c, hot_ohm) = rows
        inverse = 1.0 / (cold_c + KELVIN) - 1.0 / (hot_c + KELVIN)
        return from_beta(cold_ohm, math.log(cold_ohm / hot_ohm) / inverse, pullup_ohm, cold_c)
    curve = SteinhartHartCurve(a, b, c)
    r25, beta, cubic = curve.letters()
    return _described(curve, f"{_id(r25, beta)}-c{cubic:.3g}", pullup_ohm, "three points")


def from_shares(
    rows: tuple[tuple[float, float], ...], word: str, at: str, pullup_ohm: float | None = None
) -> Sensor:
    """Return the sensor of (share of full scale, C) under the word that selects it, read `at`.

    An open wire reads the last row and a shorted one the first: lookups hold the ends.

    Raises:
        ValueError: rows that no sensor could have.
    """
    curve = SharesCurve(rows, pullup_ohm or _ANY_OHM)
    return Sensor(
        id=f"table-{word}-of-the-upload",
        name=f"table {word} of the upload ({at})",
        kind="ntc" if rows[0][1] > rows[-1][1] else "platinum",
        curve=curve,
        pullup_ohm=pullup_ohm,
        source=f"{at}, the firmware's own table",
        reads_c=(curve.low_c, curve.high_c),
    )


def from_platinum(r0_ohm: float, pullup_ohm: float | None = None) -> Sensor:
    """Return a platinum sensor of `r0_ohm` at 0 C.

    Raises:
        ValueError: `r0_ohm` is absurd.
    """
    return Sensor(
        id=f"pt{r0_ohm:g}",
        name=f"platinum resistor, {r0_ohm:g} ohm at 0 C",
        kind="platinum",
        curve=PlatinumCurve(r0_ohm),
        pullup_ohm=pullup_ohm,
        source="IEC 60751:2008 with the user's own resistance",
    )


def letters(sensor: Sensor, hot_c: float = HOT_C) -> tuple[float, float, float] | None:
    """Return T in ohm, B in K (whole) and C that describe an NTC to a start-up script.

    The trade's own where the catalogue has them and they read it within 5 K up to `hot_c`, else
    fitted at 25 C, there or at the end of the curve, and in the middle; None without a curve.
    """
    curve = sensor.curve
    trade = sensor.letters and from_letters(*sensor.letters)
    if trade and misread_k(sensor, trade, hot_c) <= READS_RIGHT_K:
        return sensor.letters
    if sensor.kind != "ntc" or curve is None:
        return None
    if isinstance(curve, BetaCurve):
        return curve.ohm(25.0), round(curve.beta_k), 0.0
    top_c = min(curve.high_c, HOT_C)
    at_c = (25.0, (25.0 + top_c) / 2.0, top_c)
    fit = SteinhartHartCurve.from_points([(temp_c, curve.ohm(temp_c)) for temp_c in at_c])
    r25, beta, cubic = fit.letters()
    return round(r25, 1), round(beta), float(f"{cubic:.3g}")


def _described(curve: Curve, made_id: str, pullup_ohm: float | None, how: str) -> Sensor:
    known = catalogue().get(made_id) or _like(curve)
    if known is not None:
        return evolve(
            known,
            curve=curve,
            pullup_ohm=pullup_ohm,
            source=f"{how} of the user's own",
            uncertainty=(),
            reason="",
            letters=None,
        )
    return Sensor(
        id=made_id,
        name=f"user's NTC, {made_id.removeprefix('ntc-').replace('-', ', ', 2)}",
        kind="ntc",
        curve=curve,
        pullup_ohm=pullup_ohm,
        source=f"{how} of the user's own",
    )


def _like(curve: Curve) -> Sensor | None:
    return next((row for row in catalogue().values() if _agree(row, curve)), None)


def _agree(row: Sensor, curve: Curve) -> bool:
    if row.kind != "ntc" or row.curve is None or row.curve.high_c < PROBED_C[-1]:
        return False
    try:
        return all(abs(curve.temp_c(row.curve.ohm(at)) - at) <= LIKE_K for at in PROBED_C)
    except OutOfRange:
        return False


def _id(r25_ohm: float, beta_k: float) -> str:
    for size, letter in ((1e6, "m"), (1e3, "k")):
        if r25_ohm >= size * 0.9995:
            return f"ntc-{r25_ohm / size:.3g}{letter}-b{beta_k:.0f}"
    return f"ntc-{r25_ohm:.3g}-b{beta_k:.0f}"
