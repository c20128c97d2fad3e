"""The levels that a part puts on its line, as the chip's pin sees them."""

import math

from pincheck.chips import Chip
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.physics.divider import parallel_ohm

DIODE_V = Threshold(
    0.3, "V", "level of a line over the supply of a chip whose pin is not tolerant",
    "absolute maximum ratings in data sheets of common microcontrollers",
    below="agrees", above="advice or danger, by the current into the protection diode",
)  # fmt: skip

TOLERANT_V = 5.5

_BEARS = "advice: the diode bears it"
_OVER = "danger: the pin may be destroyed"
STATED_A = Threshold(
    0.005, "A", "current into the protection diode of an STM32 pin that is not tolerant",
    "current characteristics in DS9716 of STM32F401, from memory", below=_BEARS, above=_OVER,
)  # fmt: skip
NOT_STATED_A = Threshold(
    0.001, "A", "current into the protection diode of any other chip's pin",
    "common practice where no data sheet allows any", below=_BEARS, above=_OVER,
)  # fmt: skip


def injected_a(chip: Chip) -> Threshold:
    """Return what may flow into the protection diode of a chip's pin that is not tolerant."""
    return STATED_A if chip.name.lower().startswith("stm32") else NOT_STATED_A


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
