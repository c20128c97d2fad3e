"""What a switching transistor carries, loses and sees at switch-on."""

from collections.abc import Iterable

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import CURRENT, DUTY, RATED_CURRENT, Range

_RDS_ON = Range("on resistance", 0.1, 100_000.0, "mohm")
_HOT = Range("rise of the on resistance", 1.0, 3.0)
_RATIO = Range("inrush ratio", 1.0, 100.0)

HOT_FACTOR = 1.5
"""On resistance at a junction of about 100 C over that at 25 C (`common practice`: the
normalised curve of silicon MOSFET data sheets lies between 1.4 and 1.7)."""


@frozen
class SwitchLoad:
    """What several loads on one switch come to, against its rating.

    `rating_ratio` is `total_a` over the rating and `inrush_ratio` is `inrush_a` over it, None
    without a rating; `dissipation_w` is None without an on resistance.
    """

    total_a: float
    inrush_a: float
    rating_ratio: float | None
    inrush_ratio: float | None
    dissipation_w: float | None


def dissipation_w(
    current_a: float, rds_on_mohm: float, duty: float = 1.0, hot_factor: float = HOT_FACTOR
) -> float:
    """Return the conduction loss, duty I^2 R_on, with the on resistance risen by `hot_factor`.

    Raises:
        ValueError: current, resistance, duty or factor outside its allowed range.
    """
    hot_ohm = _RDS_ON.check(rds_on_mohm) * _HOT.check(hot_factor) / 1000
    return DUTY.check(duty) * CURRENT.check(current_a) ** 2 * hot_ohm


def load(
    currents: Iterable[tuple[float, float]],
    max_a: float | None = None,
    rds_on_mohm: float | None = None,
) -> SwitchLoad:
    """Return what loads, each as (current in A, inrush ratio), come to on one switch.

    All are taken to start together, as they do when the switch closes.

    Raises:
        ValueError: a current, ratio, rating or resistance outside its allowed range.
    """
    pairs = [(CURRENT.check(current), _RATIO.check(ratio)) for current, ratio in currents]
    total = sum(current for current, _ in pairs)
    inrush = sum(current * ratio for current, ratio in pairs)
    rating = None if max_a is None else RATED_CURRENT.check(max_a)
    return SwitchLoad(
        total,
        inrush,
        None if rating is None else total / rating,
        None if rating is None else inrush / rating,
        None if rds_on_mohm is None else dissipation_w(total, rds_on_mohm),
    )
