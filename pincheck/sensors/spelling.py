"""The words and numbers of each style for sensors, both ways."""

import math
from difflib import get_close_matches
from functools import cache

from pincheck.model.threshold import Threshold
from pincheck.sensors.catalogue import any_of_kind, assumed, same_part
from pincheck.sensors.sensor import Sensor

SAME_PULLUP = 0.05
"""Two pull-ups within this share are one value: parts of 1 and 5 % stand for each other."""

READS_RIGHT_K = Threshold(
    5.0, "K", "error of a reading, with or without what the curves are not known by",
    "common practice: nobody notices it in a print",
    below="agrees, if the curves' own spread is added and it is still no more",
    above="advice at least, if it is more without the curves' own spread; else not checked",
)  # fmt: skip

HOT_C, _BED_C = 250.0, 110.0
"""Up to where a hot end's sensor and a bed's are read (`common practice`)."""


def hot_c(role: str) -> float:
    """Return up to what temperature the sensor of a role has to be read right."""
    return _BED_C if role.startswith(("bed", "chamber")) else HOT_C


def spelled(style: str, text: str) -> Sensor | None:
    """Return what the firmware of `style` assumes under `text`, or None when nobody knows it.

    The id is the part's; curve, pull-up and scale are the firmware's own. Case, quotes and
    runs of blanks do not matter.

    Raises:
        KeyError: no such style.
    """
    return _by_plain_text(style).get(_plain(text))


def spellings(
    style: str, part: Sensor, pullup_ohm: float | None = None, hot_c: float = HOT_C
) -> tuple[str, ...]:
    """Return how `style` writes a part, preferred first; empty when it has no word for it.

    With `pullup_ohm` only spellings that assume it, within 5 %, or that leave it to another key.
    A word counts only if what it assumes reads the part within 5 K up to `hot_c`, and those that
    read it best, to whole K, come first; where nothing can be computed, the part's own.
    """
    if word := any_of_kind(style, part.kind):
        return (word,)
    rows = [
        (text, row)
        for text, row in assumed(style).items()
        if row.kind == part.kind
        and (row.id == part.id or same_part(row.id, part.id))
        and _has_pullup(row, pullup_ohm)
    ]
    if part.curve is None:
        return tuple(text for text, row in sorted(rows, key=lambda it: it[1].id != part.id))
    off_k = {text: misread_k(part, row, hot_c) for text, row in rows}
    near = [text for text, off in off_k.items() if off <= READS_RIGHT_K]
    return tuple(sorted(near, key=lambda text: (assumed(style)[text].scale != 1, int(off_k[text]))))


def misread_k(part: Sensor, row: Sensor, hot_c: float = HOT_C) -> float:
    """Return by how many K a firmware's table misreads a part at most, from 25 C to `hot_c`.

    Or to where the part ends. What the table itself is not known by is added; infinite where
    nothing is known of the two.
    """
    if part.curve is None or row.curve is None:
        return math.inf
    own, table = part.curve, row.curve
    top_c = min(part.max_c or hot_c, own.high_c, hot_c)
    steps = [25.0 + (top_c - 25.0) * n / 18 for n in range(19)]
    ends = sorted((table.ohm(table.low_c), table.ohm(table.high_c)))
    read = [(at, table.temp_c(min(max(own.ohm(at), ends[0]), ends[1]))) for at in steps]
    return max(abs(read_c - at) + row.uncertainty_k(at) for at, read_c in read)


def nearest(style: str, text: str, alike: float = 0.7) -> str:
    """Return the spelling of `style` nearest to `text`, or an empty string; 1 is the same text."""
    near = get_close_matches(_plain(text), _by_plain_text(style), n=1, cutoff=alike)
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
