"""`grammars/sensors.toml` to sensors, read once on first use."""

from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Any

from attrs import evolve

from pincheck import resources
from pincheck.model.wiring import Part
from pincheck.physics.curve import Curve
from pincheck.physics.ntc import BetaCurve, SteinhartHartCurve, TableCurve
from pincheck.physics.platinum import PlatinumCurve
from pincheck.physics.thermocouple import Thermocouple, ThermocoupleAmplifier
from pincheck.sensors.sensor import Sensor

_REACH_K = 50.0
"""By so much a bead follows Steinhart-Hart beyond three points (`common practice`)."""


class UnknownSensorError(KeyError):
    """An id that the catalogue lacks; `nearest` is the nearest one that it has, or empty."""

    def __init__(self, sensor_id: str, nearest: str) -> None:
        hint = f"; did you mean {nearest!r}?" if nearest else ""
        self.message = f"no sensor {sensor_id!r} in the catalogue{hint}"
        super().__init__(self.message)
        self.nearest = nearest

    def __str__(self) -> str:
        return self.message


@cache
def catalogue() -> Mapping[str, Sensor]:
    """Return every sensor by its id, in the order of the data file."""
    rows = _document()["sensors"]
    return MappingProxyType({key: _sensor(key, row) for key, row in rows.items()})


def sensor(sensor_id: str) -> Sensor:
    """Return the sensor `sensor_id`.

    Raises:
        UnknownSensorError: (a KeyError) no such id; carries the nearest one.
    """
    try:
        return catalogue()[sensor_id]
    except KeyError:
        raise UnknownSensorError(sensor_id, _nearest_id(sensor_id)) from None


def same_part(spelled_id: str, fitted_id: str) -> bool:
    """Tell whether what a firmware names is the fitted part, one read as well, or its amplifier."""
    if spelled_id == fitted_id:
        return True
    named = catalogue().get(spelled_id)
    return named is not None and fitted_id in (*named.interchangeable, *named.elements)


def amplifier(chip: str) -> Sensor | None:
    """Return the amplifier or converter that a chip's name tells, None where none is known."""
    tidy = chip.strip().lower()
    return next((found for found in catalogue().values() if tidy in found.chips), None)


def fitted(part: Part) -> Sensor | None:
    """Return the sensor that a part is, None where the catalogue has none of that name.

    A curve of the part's own, from its data sheet, counts before that of its class.
    """
    known = catalogue().get(part.sensor)
    if known is None or not part.curve:
        return known
    return evolve(
        known,
        curve=data_sheet_curve(part.curve),
        modelled=False,
        uncertainty=(),
        reason="",
        letters=None,
        source=f"curve of part {part.id}" + (f", {part.source}" if part.source else ""),
    )


def data_sheet_curve(points: tuple[tuple[float, float], ...]) -> Curve:
    """Return the curve through (C, ohm) of a data sheet: Steinhart-Hart by three, else a table.

    Three points say nothing of what is far hotter than they are.

    Raises:
        ValueError: fewer than three, or points that no thermistor could have.
    """
    if len(points) < 3:
        raise ValueError(f"{len(points)} points: allowed are 3 or more")
    if len(points) > 3:
        return TableCurve(points)
    return SteinhartHartCurve.from_points(points, high_c=max(points)[0] + _REACH_K)


@cache
def assumed(style: str) -> Mapping[str, Sensor]:
    """Return what the firmware of `style` assumes under each spelling of its users.

    Raises:
        KeyError: no such style in the data file.
    """
    document = _document()
    default_ohm = document["defaults"]["pullup_ohm"].get(style)
    rows = _ADDED[style] if style in _ADDED else document["spellings"][style]
    return MappingProxyType(
        {
            text: _assumed({"sensor": row} if isinstance(row, str) else row, default_ohm)
            for text, row in rows.items()
        }
    )


_ADDED: dict[str, Mapping[str, str]] = {}


def add_words(style: str, words: Mapping[str, str]) -> None:
    """Add a style that the data file lacks, with its words for sensors by their ids."""
    _ADDED[style] = words
    assumed.cache_clear()


def any_of_kind(style: str, kind: str) -> str:
    """Return the style's one word for whatever part of a kind, empty where each has its own."""
    word: str = _document()["of_any_kind"].get(style, {}).get(kind, "")
    return word


@cache
def _document() -> dict[str, Any]:
    return resources.table(resources.folder("grammars") / "sensors.toml")


def _nearest_id(wrong: str) -> str:
    words = {key: key for key in catalogue()}
    users = assumed(_document()["defaults"]["names_in"])
    words |= {text.casefold().replace(" ", "-"): row.id for text, row in users.items()}
    plain = "-".join(wrong.casefold().split())
    named = next((key for word, key in words.items() if len(plain) > 3 and plain in word), "")
    near = get_close_matches(plain, words, n=1, cutoff=0.5)
    return named or (words[near[0]] if near else "")


def _sensor(sensor_id: str, row: dict[str, Any]) -> Sensor:
    made = dict(row)
    if "curve" in row:
        made["curve"] = _curve(row["curve"])
    if "thermocouple" in row:
        made["thermocouple"] = Thermocouple(row["thermocouple"])
    if "amplifier" in row:
        design = Thermocouple(row["amplifier"]["design"])
        made["amplifier"] = ThermocoupleAmplifier(**{**row["amplifier"], "design": design})
    if row["kind"] in ("ntc", "platinum"):
        made.setdefault("pullup_ohm", _document()["defaults"]["pullup_ohm_of_parts"])
    return Sensor(id=sensor_id, **made)


def _assumed(row: dict[str, Any], default_ohm: float | None) -> Sensor:
    part = sensor(row["sensor"])
    changes = {key: value for key, value in row.items() if key != "sensor"}
    # a class is known within so much; what a firmware computes with is known
    changes.setdefault("uncertainty", ())
    curve = _curve(row["curve"]) if "curve" in row else part.curve
    changes["curve"] = _within(curve, *row["reads_c"]) if curve and "reads_c" in row else curve
    if part.kind in ("ntc", "platinum"):
        changes.setdefault("pullup_ohm", default_ohm)
    return evolve(part, **changes)


def _within(curve: Curve, low_c: float, high_c: float) -> Curve:
    """Return a curve that ends where a firmware's table of it does."""
    low_c, high_c = max(low_c, curve.low_c), min(high_c, curve.high_c)
    if isinstance(curve, TableCurve):
        inner = (point for point in curve.points if low_c < point[0] < high_c)
        return TableCurve(((low_c, curve.ohm(low_c)), *inner, (high_c, curve.ohm(high_c))))
    assert isinstance(curve, BetaCurve | SteinhartHartCurve | PlatinumCurve)
    return evolve(curve, low_c=low_c, high_c=high_c)


def _curve(row: dict[str, Any]) -> Curve:
    if "points" in row:
        return TableCurve(row["points"])
    if "three_points" in row:
        return SteinhartHartCurve.from_points(map(tuple, row["three_points"]))
    if "platinum_ohm" in row:
        return PlatinumCurve(row["platinum_ohm"])
    if "c" in row:
        return SteinhartHartCurve.from_letters(row["r25_ohm"], row["beta_k"], row["c"])
    return BetaCurve(row["r25_ohm"], 25.0, row["beta_k"])
