"""The level of a pin while the chip starts and drives nothing yet."""

import math

from pincheck.chips import BootLevel
from pincheck.model.finding import Input, Number
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired


@frozen
class Level:
    """A level at reset: `when` says in words under what condition the line has it, if any."""

    number: Number
    when: str = ""


def levels(wired: Wired, boot: BootLevel, logic_v: float, chip: str) -> tuple[Level, ...]:
    """Return the levels that a part and the resistors give a boot pin, none where nothing does.

    A part with an output has one at rest and one when it is triggered. Behind a divider, and of
    an output that feeds the line from its supply, nobody can say.
    """
    signal = wired.signal
    if wired.path.divider or signal.output == "pnp" or (signal.output and not signal.triggered):
        return ()
    pulled = _pulled(wired, boot, logic_v, chip)
    if not signal.output:
        return (Level(pulled),) if pulled else ()
    low, high = _driven(wired, 0.0), pulled
    if signal.output == "push-pull":
        high = _driven(wired, signal.signal_v) if signal.signal_v else None
    rest, triggered = (low, high) if signal.triggered == "high" else (high, low)
    both = ((rest, ""), (triggered, "triggered"))
    return tuple(Level(number, when) for number, when in both if number)


def _driven(wired: Wired, volt: float) -> Number:
    given = Input("output", wired.signal.output, "", f"part {wired.part.id}")
    return Number("voltage at reset", volt, "V", "driven by the part", (given,))


def _pulled(wired: Wired, boot: BootLevel, logic_v: float, chip: str) -> Number | None:
    """Return what the resistors divide the voltage to, None where the board has none."""
    fitted = (*wired.path.pullups, *wired.path.pulldowns)
    pulls = [(pull.ohm, pull.to_v, f"wiring of {wired.role}") for pull in fitted]
    if not pulls:
        return None
    if boot.pull_ohm:
        pulls.append((boot.pull_ohm, logic_v if boot.level == "high" else 0.0, chip))
    volt = math.fsum(v / ohm for ohm, v, _ in pulls) / math.fsum(1 / ohm for ohm, _, _ in pulls)
    inputs = tuple(Input(f"resistor to {v:g} V", ohm, "ohm", origin) for ohm, v, origin in pulls)
    formula = "sum of U / R over sum of 1 / R"
    return Number("voltage at reset", volt, "V", formula, inputs, "Millman's theorem")
