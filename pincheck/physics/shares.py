"""A firmware's own table: what it takes each share of the converter's full scale for."""

from bisect import bisect_right
from itertools import pairwise

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import allowed
from pincheck.physics.curve import inside_c, inside_ohm

ShareRow = tuple[float, float]
"""Share of full scale, 0 to 1, and the temperature in C that is read there."""


def _without_flat_ends(rows: tuple[ShareRow, ...]) -> tuple[ShareRow, ...]:
    """Return the rows without those that repeat an end, which is held beyond it anyway."""
    kept = list(rows)
    while len(kept) > 1 and kept[0][1] == kept[1][1]:
        del kept[0]
    while len(kept) > 1 and kept[-1][1] == kept[-2][1]:
        del kept[-1]
    return tuple(kept)


@frozen
class SharesCurve:
    """Temperature interpolated linearly in the share of full scale, as firmware looks it up.

    A share is one of resistances: `pullup_ohm` turns it into ohm and back, and cancels out where
    the converter has the same. A ValueError for fewer than two rows, shares that do not rise or
    are not 0 to below 1, or temperatures that do not go one way.
    """

    rows: tuple[ShareRow, ...] = field(converter=_without_flat_ends)
    pullup_ohm: float

    def __attrs_post_init__(self) -> None:
        allowed("pull-up", self.pullup_ohm, 1.0, 1e7, "ohm")
        if len(self.rows) < 2:
            raise ValueError(f"{len(self.rows)} different temperatures: allowed are 2 or more")
        falling = self.rows[0][1] > self.rows[-1][1]
        for (share, at_c), (next_share, next_c) in pairwise(self.rows):
            if not 0.0 <= share < next_share < 1.0:
                raise ValueError("allowed are shares that rise from 0 to below 1")
            if at_c == next_c or (at_c > next_c) != falling:
                raise ValueError(
                    f"{next_c:g} C follows {at_c:g} C: allowed are temperatures that go one way"
                )

    @property
    def low_c(self) -> float:
        return min(self.rows[0][1], self.rows[-1][1])

    @property
    def high_c(self) -> float:
        return max(self.rows[0][1], self.rows[-1][1])

    def ohm(self, temp_c: float) -> float:
        cold_first = self.rows if self.rows[0][1] < self.rows[-1][1] else self.rows[::-1]
        rising = tuple((at_c, share) for share, at_c in cold_first)
        share = _between(rising, inside_c(self, temp_c))
        return self.pullup_ohm * share / (1.0 - share)

    def temp_c(self, ohm: float) -> float:
        held = inside_ohm(self, ohm)
        read_c = _between(self.rows, held / (held + self.pullup_ohm))
        return min(max(read_c, self.low_c), self.high_c)


def _between(rows: tuple[ShareRow, ...], x: float) -> float:
    at = min(max(bisect_right(rows, x, key=lambda row: row[0]), 1), len(rows) - 1)
    (x0, y0), (x1, y1) = rows[at - 1], rows[at]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
