"""The words and numbers of each style for sensors, both ways."""

from difflib import get_close_matches
from functools import cache

from pincheck.sensors.load import any_of_kind, assumed, same_part, sensor
from pincheck.sensors.sensor import Sensor

SAME_PULLUP = 0.05
"""Two pull-ups within this share are one value: parts of 1 and 5 % stand for each other."""


def spelled(style: str, text: str) -> Sensor | None:
    """Return what the firmware of `style` assumes under `text`, or None when nobody knows it.

    The id is the part's; curve, pull-up and scale are the firmware's own. Case, quotes and
    runs of blanks do not matter.

    Raises:
        KeyError: no such style.
    """
    return _by_plain_text(style).get(_plain(text))


def spellings(style: str, sensor_id: str, pullup_ohm: float | None = None) -> tuple[str, ...]:
    """Return how `style` writes `sensor_id`, preferred first; empty when it has no word for it.

    The exact part comes before those that one table serves as well. With `pullup_ohm` only
    spellings that assume it, within 5 %, or that leave it to another key. A table that no curve
    follows is no way to write any part.

    Raises:
        KeyError: no such style.
        UnknownSensorError: no such sensor.
    """
    part = sensor(sensor_id)
    if word := any_of_kind(style, part.kind):
        return (word,)
    rows = [
        (text, row)
        for text, row in assumed(style).items()
        if row.uncertainty == sensor(row.id).uncertainty
    ]
    exact = [(text, row) for text, row in rows if row.id == sensor_id]
    served = [
        (text, row)
        for text, row in rows
        if row.id != sensor_id and row.kind == part.kind and same_part(row.id, sensor_id)
    ]
    return tuple(text for text, row in (*exact, *served) if _has_pullup(row, pullup_ohm))


def nearest(style: str, text: str) -> str:
    """Return the spelling of `style` nearest to `text`, or an empty string."""
    near = get_close_matches(_plain(text), _by_plain_text(style), n=1, cutoff=0.7)
    return next((known for known in assumed(style) if near and _plain(known) == near[0]), "")


def _has_pullup(row: Sensor, pullup_ohm: float | None) -> bool:
    if pullup_ohm is None or row.pullup_ohm is None:
        return True
    return abs(row.pullup_ohm / pullup_ohm - 1.0) <= SAME_PULLUP


def _plain(text: str) -> str:
    return " ".join(text.strip().strip("\"'").casefold().split())


@cache
def _by_plain_text(style: str) -> dict[str, Sensor]:
    return {_plain(text): row for text, row in assumed(style).items()}
