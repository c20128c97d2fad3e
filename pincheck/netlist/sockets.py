"""A connector as the layout has it: the net of each pin, and rows and pitch from where pins are."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Literal

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.netlist.points import Netlist, NetPoint

_OFF_MM = 0.2
"""How far a pad may be from its row (`common practice`: pads of two lengths, rounding)."""


@frozen
class LaidOut:
    """One connector; `left_out` are pins without a number, such as tabs of a shield.

    `rows`, `numbering` and `pitch_mm` are None where no places of pins say so.
    """

    reference: str
    pins: tuple[str, ...]
    points: Mapping[int, NetPoint]
    left_out: tuple[str, ...] = ()
    rows: int | None = None
    numbering: Literal["zigzag", "rows"] | None = None
    pitch_mm: float | None = None


def laid_out(netlist: Netlist, reference: str) -> LaidOut:
    """Return one connector of a netlist; a number that no pin has is not connected."""
    mine = netlist.pins[reference]
    points = {
        int(pin): point
        for pin, point in mine.items()
        if pin.isascii() and pin.isdigit() and 0 < int(pin) <= limits.WIRING_PINS
    }
    left_out = tuple(sorted(pin for pin in mine if points.get(_number(pin)) is not mine[pin]))
    pins = tuple(
        points[number].net if number in points else ""
        for number in range(1, max(points, default=0) + 1)
    )
    return LaidOut(reference, pins, points, left_out, *_grid(points, len(pins)))


def _number(pin: str) -> int:
    return int(pin) if pin.isascii() and pin.isdigit() and len(pin) < 6 else 0


def _grid(
    points: Mapping[int, NetPoint], count: int
) -> tuple[int | None, Literal["zigzag", "rows"] | None, float | None]:
    """Return rows, numbering and pitch where every pin lies on a grid along the board's axes."""
    at = {number: point.at_mm for number, point in points.items() if point.at_mm}
    if len(at) != count or count < 2:
        return None, None, None
    along = [_steps([place[axis] for place in at.values()]) for axis in (0, 1)]
    # The rows are the shorter side of the grid.
    short, long = sorted(along, key=len)
    if len(short) * len(long) != count or len(short) > 4 or len(long) < 2:
        return None, None, None
    pitch = round(min(b - a for a, b in pairwise(long)), 2)
    if len(short) in (1, len(long)):  # a square is numbered alike along and across
        return len(short), None, pitch
    axis = 0 if long is along[0] else 1
    places = [
        (_nearest(long, at[n + 1][axis]), _nearest(short, at[n + 1][1 - axis]))
        for n in range(count)
    ]
    # Seen from either side and end: only the order along and across counts.
    for numbering, place in (("zigzag", _zigzag), ("rows", _rows)):
        wanted = [place(n, len(short), len(long)) for n in range(count)]
        if all(_monotonic(places, wanted, side) for side in (0, 1)):
            return len(short), "zigzag" if numbering == "zigzag" else "rows", pitch
    return None, None, None


def _zigzag(number: int, rows: int, _: int) -> tuple[int, int]:
    return divmod(number, rows)


def _rows(number: int, _: int, columns: int) -> tuple[int, int]:
    row, column = divmod(number, columns)
    return column, row


def _monotonic(places: list[tuple[int, int]], wanted: list[tuple[int, int]], side: int) -> bool:
    last = max(place[side] for place in wanted)
    there = [place[side] for place in places]
    as_wanted = [place[side] for place in wanted]
    return there in (as_wanted, [last - place for place in as_wanted])


def _nearest(steps: list[float], value: float) -> int:
    return min(range(len(steps)), key=lambda n: abs(steps[n] - value))


def _steps(values: list[float]) -> list[float]:
    """Return the distinct values, those closer than a pad's tolerance taken for one."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > _OFF_MM:
            found.append(value)
    return found
