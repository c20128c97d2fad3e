"""Levels and pulls of a line, as the copper needs them and as the firmware takes them."""

from typing import Literal

from pincheck.analysis.case import Case
from pincheck.model.claim import Claim
from pincheck.model.finding import Unchecked
from pincheck.model.path import Wired
from pincheck.physics.divider import parallel_ohm

LOADS = frozenset(("heater", "fan", "output"))

_CHIPS_PULL_OHM = 30_000.0
"""A pull inside a chip is 20 to 80 kohm (data sheets of common microcontrollers, from memory)."""
_STILL_LOW = 0.3
"""Share of the supply that inputs certainly read as low, and the same from above as high."""


def reads_input(wired: Wired) -> bool:
    """Return whether the part gives a digital level: a probe, an end stop, a filament switch."""
    return bool(wired.signal.output)


def inverted(case: Case, wired: Wired) -> tuple[Claim | None, bool] | Unchecked:
    """Return the claim and whether the firmware inverts the pin.

    A load without a claim is not inverted; of an input the files have to say it.
    """
    claim = case.known(wired.role, "inverted")
    if claim is None and reads_input(wired):
        return Unchecked(wired.role, "inverted", "the files do not say its level")
    if isinstance(claim, Unchecked):
        return claim
    return claim, bool(claim and claim.value)


def must_invert(wired: Wired) -> bool | None:
    """Return whether the firmware has to invert, None where the wiring does not say.

    A load needs it behind a chain of switches that inverts as a whole, and so does a part whose
    line is low when it is triggered: without inversion firmware takes a high level for "on" or
    "triggered".
    """
    flipped = wired.path.inverting
    if not reads_input(wired):
        return flipped
    return None if not wired.signal.triggered else (wired.signal.triggered == "low") ^ flipped


def pull(case: Case, role: str) -> tuple[Claim | None, str] | Unchecked:
    """Return the claim and the pull that the firmware switches on; without a claim none."""
    claim = case.known(role, "pull")
    if isinstance(claim, Unchecked):
        return claim
    return claim, str(claim.value) if claim else "none"


def outweighs(wired: Wired) -> bool:
    """Return whether the board's own pull sets the level though the chip pulls against it."""
    path = wired.path
    if wired.signal.needs_pull == "up":
        resistors = [pull.ohm for pull in path.pullups]
    else:
        resistors = [pull.ohm for pull in path.pulldowns]
        resistors += [path.divider.bottom_ohm] if path.divider else []
    if not resistors:
        return False
    ohm = parallel_ohm(*resistors)
    return ohm / (ohm + _CHIPS_PULL_OHM) <= _STILL_LOW


def pull_needed(wired: Wired) -> Literal["", "up", "down"]:
    """Return the pull that only the chip can give: the part needs it and no resistor is there."""
    need, path = wired.signal.needs_pull, wired.path
    # The lower resistor of a divider holds the line down as well as a pull-down does.
    down = bool(path.pulldowns or path.divider)
    return "" if (path.pullups if need == "up" else down) else need
