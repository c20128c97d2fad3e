"""The levels that a part puts on its line, as the chip's pin sees them."""

import math

from attrs import frozen

from pincheck.chips import Chip
from pincheck.model.path import Wired
from pincheck.physics.divider import parallel_ohm

DIODE_V = 0.3
"""How far above its own supply a pin that is not tolerant may be driven (data sheets of common
microcontrollers, absolute maximum ratings)."""

TOLERANT_V = 5.5

_INJECTED_A = {"stm32": (0.005, "current characteristics in DS9716 of STM32F401, from memory")}
_NOT_STATED = 0.001, "common practice where the data sheet allows none"


def injected_a(chip: Chip) -> tuple[float, str]:
    """Return what may flow into the protection diode of a pin that is not tolerant, and its source.

    A family that no data sheet is known of gets what such diodes are seen to bear for years.
    """
    known = (row for family, row in _INJECTED_A.items() if chip.name.lower().startswith(family))
    return next(known, _NOT_STATED)


@frozen
class High:
    """The highest level on the line, where it comes from, and the resistors on its way.

    `above_ohm` lies between it and the chip's pin, `bottom_ohm` between the pin and ground.
    """

    source_v: float
    origin: str
    above_ohm: float = 0.0
    bottom_ohm: float = math.inf

    @property
    def pin_v(self) -> float:
        """The level at the pin."""
        return self.source_v / (1 + self.above_ohm / self.bottom_ohm)

    def into_diode_a(self, stands_v: float) -> float:
        """Return the current that a pin which holds its voltage at `stands_v` has to swallow."""
        if not self.above_ohm:
            return math.inf
        return (self.source_v - stands_v) / self.above_ohm - stands_v / self.bottom_ohm


def high_level(wired: Wired, chip: Chip | None) -> High | None:
    """Return the high level of a digital line, None where nothing drives or pulls it high.

    A push-pull or PNP output gives its signal voltage, and never more than its supply; an open
    output is lifted by the strongest pull-up to a rail.
    """
    signal, path, pull_ohm = wired.signal, wired.path, 0.0
    if signal.output in ("push-pull", "pnp"):
        volt = min(filter(None, (signal.signal_v, wired.supply_v)), default=None)
        origin = f"part {wired.part.id}"
    else:
        volt = max((pull.to_v for pull in path.pullups), default=None)
        origin = "pull-up of the board"
        pull_ohm = parallel_ohm(*(pull.ohm for pull in path.pullups)) if path.pullups else 0.0
    if volt is None:
        return None
    above_ohm = pull_ohm + path.series_ohm
    if path.divider is None:
        return High(volt, origin, above_ohm)
    # A pull-up to more than the chip stands is at the part and feeds the whole divider.
    at_chip = pull_ohm and chip and chip.logic_v and volt <= chip.logic_v + DIODE_V
    top_ohm = 0.0 if at_chip else path.divider.top_ohm
    return High(volt, origin, above_ohm + top_ohm, path.divider.bottom_ohm)


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
