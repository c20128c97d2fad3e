"""Supply budget with everything on, and what a fuse holds."""

from collections.abc import Iterable

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.threshold import Threshold
from pincheck.physics.bounds import CURRENT, DUTY, RATED_CURRENT

FUSE_HOLDS = Threshold(
    1.10, "share", "current over a fuse's rating",
    "ISO 8820-3, a test of blade fuses: held for 100 h, open at 135 % within 30 min (from memory)",
    below="agrees", above="fault: it blows sooner or later",
)  # fmt: skip


@frozen
class Load:
    """One consumer: its current while on, and the firmware's power cap (0 to 1)."""

    name: str
    current_a: float = field(validator=CURRENT)
    duty: float = field(default=1.0, validator=DUTY)


@frozen
class SupplyBudget:
    """Everything on at once against the supply's rating.

    `peak_a` ignores power caps, since pulses of several outputs may coincide; `mean_a` counts
    them. `mean_ratio` is its share of the rating; `largest` are the names of the
    loads, the largest mean current first.
    """

    mean_a: float
    peak_a: float
    supply_a: float
    mean_ratio: float
    largest: tuple[str, ...]

    @property
    def overloaded(self) -> bool:
        """Whether even the mean current exceeds the rating."""
        return self.mean_ratio > 1


def budget(loads: Iterable[Load], supply_a: float) -> SupplyBudget:
    """Return the budget of one rail, everything on.

    Raises:
        ValueError: the rating is outside its allowed range.
    """
    ordered = sorted(loads, key=lambda load: -load.current_a * load.duty)
    rating = RATED_CURRENT.check(supply_a)
    mean = sum(load.current_a * load.duty for load in ordered)
    peak = sum(load.current_a for load in ordered)
    names = tuple(load.name for load in ordered)
    return SupplyBudget(mean, peak, rating, mean / rating, names)
