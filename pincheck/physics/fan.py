"""Fans: supply voltage, current off their rating, and what they count."""

from typing import Literal

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.threshold import Threshold
from pincheck.physics.bounds import RATED_CURRENT, VOLTAGE, Range

SupplyFit = Literal["below", "within", "above"]

_SOLD = "common practice without a data sheet: 12 V fans are sold for 7 to 13.8 V"
LOWEST_SHARE = Threshold(
    7 / 12, "share", "supply over the fan's rated voltage", _SOLD,
    below="fault: it turns too slowly or not at all", above="agrees",
)  # fmt: skip
HIGHEST_SHARE = Threshold(
    1.15, "share", "supply over the fan's rated voltage", _SOLD,
    below="agrees", above="danger: more than 1.5 times its power",
)  # fmt: skip

INRUSH_RATIO = 2.0
"""Start-up over running current where the data sheet says nothing (`common practice`, 1.5 to 3)."""

SPEED_PCT = 10.0
"""How far a fan's speed may be above the one that its data sheet gives (`common practice`)."""

_RATIO = Range("inrush ratio", 1.0, 100.0)
_PULSES = Range("pulses of one turn", 0.1, 1000.0)
_SPEED = Range("speed", 1.0, 1e6)


@frozen
class Fan:
    """A fan's ratings; a supply range that is None is taken from the rated voltage."""

    rated_v: float = field(validator=VOLTAGE)
    current_a: float = field(validator=RATED_CURRENT)
    inrush_ratio: float = field(default=INRUSH_RATIO, validator=_RATIO)
    supply_min_v: float | None = None
    supply_max_v: float | None = None

    @property
    def lowest_v(self) -> float:
        """Lowest supply that the fan starts on."""
        share = round(self.rated_v * LOWEST_SHARE, 6)
        return share if self.supply_min_v is None else VOLTAGE.check(self.supply_min_v)

    @property
    def highest_v(self) -> float:
        """Highest supply that the fan bears."""
        share = round(self.rated_v * HIGHEST_SHARE, 6)
        return share if self.supply_max_v is None else VOLTAGE.check(self.supply_max_v)


@frozen
class OnSupply:
    """A fan on a socket's supply: `fit` and, by the fan laws, what it draws and does there.

    `power_ratio` is over the rated power; current and power outside the supply range are what
    the fan would draw until its electronics fail or stop.
    """

    fit: SupplyFit
    current_a: float
    power_ratio: float


def on_supply(fan: Fan, volt: float) -> OnSupply:
    """Return how a fan gets on with a supply.

    Speed goes with the voltage, torque and so current with its square, power with its cube
    (fan laws, `common practice`; for a fan that does not regulate its speed).

    Raises:
        ValueError: voltage outside its allowed range.
    """
    ratio = VOLTAGE.check(volt) / fan.rated_v
    fit: SupplyFit = (
        "below" if volt < fan.lowest_v else "above" if volt > fan.highest_v else "within"
    )
    return OnSupply(fit, fan.current_a * ratio**2, ratio**3)


def longest_poll_s(speed_rpm: float, pulses: float) -> float:
    """Return the longest time between two looks at a tachometer that still sees every pulse.

    A pulse is high for one half of its time and low for the other, and each is to be seen once
    (sampling theorem); the fan may run `SPEED_PCT` faster than it is rated.

    Raises:
        ValueError: speed or pulses of one turn outside their allowed range.
    """
    per_minute = _PULSES.check(pulses) * _SPEED.check(speed_rpm) * (1 + SPEED_PCT / 100)
    return 30.0 / per_minute
