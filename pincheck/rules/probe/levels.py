"""The levels that a part puts on its line, as the chip's pin sees them."""

from attrs import frozen

from pincheck.chips import Chip
from pincheck.model.path import Wired

DIODE_V = 0.3
"""How far above its own supply a pin that is not tolerant may be driven (data sheets of common
microcontrollers, absolute maximum ratings)."""

TOLERANT_V = 5.5


@frozen
class High:
    """The highest level on the line: at the part, at the chip, and where it comes from."""

    source_v: float
    pin_v: float
    origin: str


def high_level(wired: Wired) -> High | None:
    """Return the high level of a digital line, None where nothing drives or pulls it high.

    A push-pull or PNP output gives its signal voltage, and never more than its supply; an open
    output is lifted by the strongest pull-up to a rail.
    """
    part, path = wired.part, wired.path
    if part.output in ("push-pull", "pnp"):
        volt = min(filter(None, (part.signal_v, wired.supply_v)), default=None)
        origin = f"part {part.id}"
    else:
        volt = max((pull.to_v for pull in path.pullups), default=None)
        origin = "pull-up of the board"
    if volt is None:
        return None
    return High(volt, volt * (path.divider.ratio if path.divider else 1.0), origin)


def highest_v(chip: Chip, pin: str) -> float | None:
    """Return what a pin used as a digital input stands, None where nobody knows."""
    found = chip.pins.get(pin)
    if found is None or found.five_volt == "unknown" or chip.logic_v is None:
        return None
    if found.five_volt == "no":
        return chip.logic_v + DIODE_V
    return max(TOLERANT_V, chip.logic_v + DIODE_V)


def lowest_high_v(chip: Chip) -> float | None:
    """Return the level above which the chip certainly reads high, None where nobody knows."""
    if chip.levels is None or chip.logic_v is None:
        return None
    return chip.levels.high * chip.logic_v
