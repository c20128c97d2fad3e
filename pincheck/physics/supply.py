"""Supply budget with everything on, and what a fuse does at a current."""

from collections.abc import Iterable
from typing import Literal

from attrs import field, frozen

from pincheck.physics.bounds import CURRENT, DUTY, RATED_CURRENT, Range

CONTINUOUS_SHARE = 0.8
"""Share of its rating that a supply should carry for hours (`common practice`)."""

FUSE_SHARE = 0.75
"""Share of its rating that a fuse should carry for hours at 25 C, so that it does not age
(`common practice`, the fuse makers' guides)."""

FUSE_HOLDS = 1.10
FUSE_OPENS = 1.35
"""Blade fuses hold 110 % for 100 h and open at 135 % within 30 min (ISO 8820-3, from memory)."""

_FUSE_LOAD = Range("current", 0.0, 10_000.0, "A")

FuseState = Literal["lasts", "ages", "uncertain", "opens"]


@frozen
class Load:
    """One consumer: its current while on, and the firmware's power cap (0 to 1)."""

    name: str
    current_a: float = field(validator=CURRENT)
    duty: float = field(default=1.0, validator=DUTY)


@frozen
class Budget:
    """Everything on at once against the supply's rating.

    `peak_a` ignores power caps, since pulses of several outputs may coincide; `mean_a` counts
    them. `mean_ratio` and `peak_ratio` are shares of the rating; `largest` are the names of the
    loads, the largest mean current first.
    """

    mean_a: float
    peak_a: float
    supply_a: float
    mean_ratio: float
    peak_ratio: float
    largest: tuple[str, ...]

    @property
    def overloaded(self) -> bool:
        """Whether even the mean current exceeds the rating."""
        return self.mean_ratio > 1

    @property
    def lasts(self) -> bool:
        """Whether the mean current stays within `CONTINUOUS_SHARE` of the rating."""
        return self.mean_ratio <= CONTINUOUS_SHARE


def budget(loads: Iterable[Load], supply_a: float) -> Budget:
    """Return the budget of one rail, everything on.

    Raises:
        ValueError: the rating is outside its allowed range.
    """
    ordered = sorted(loads, key=lambda load: -load.current_a * load.duty)
    rating = RATED_CURRENT.check(supply_a)
    mean = sum(load.current_a * load.duty for load in ordered)
    peak = sum(load.current_a for load in ordered)
    names = tuple(load.name for load in ordered)
    return Budget(mean, peak, rating, mean / rating, peak / rating, names)


def fuse(current_a: float, fuse_a: float) -> FuseState:
    """Return what a blade fuse does at a lasting (RMS) current.

    "lasts" up to `FUSE_SHARE`, "ages" up to `FUSE_HOLDS`, "opens" from `FUSE_OPENS` of the
    rating; between these the standard leaves it open: "uncertain".

    Raises:
        ValueError: current or rating outside its allowed range.
    """
    ratio = _FUSE_LOAD.check(current_a) / RATED_CURRENT.check(fuse_a)
    if ratio <= FUSE_SHARE:
        return "lasts"
    if ratio <= FUSE_HOLDS:
        return "ages"
    return "opens" if ratio >= FUSE_OPENS else "uncertain"


def fuse_protects(fuse_a: float, weakest_a: float) -> bool:
    """Return whether a fuse surely opens before a conductor rated `weakest_a` is overloaded.

    Raises:
        ValueError: a rating outside its allowed range.
    """
    return RATED_CURRENT.check(fuse_a) * FUSE_OPENS <= RATED_CURRENT.check(weakest_a)
