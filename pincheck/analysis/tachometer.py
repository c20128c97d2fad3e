"""How often a firmware that looks at a tachometer from time to time has to look."""

import math

from pincheck.analysis.case import part_of
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired
from pincheck.physics.fan import SPEED_PCT, longest_poll_s


def longest_poll(wired: Wired) -> Number | str:
    """Return the longest time between two looks in s, or why it is not known."""
    pulses, rpm, origin = wired.part.tachometer.pulses, wired.part.speed_rpm, part_of(wired)
    if pulses is None or rpm is None:
        lacks = "pulses of one turn" if pulses is None else "speed"
        return f"{origin} gives no {lacks}"
    return Number(
        "longest time between two looks",
        longest_poll_s(rpm, pulses),
        "s",
        "30 / (pulses of one turn x speed x (1 + tolerance))",
        (
            Input("pulses of one turn", pulses, "pulses", origin),
            Input("speed", rpm, "1/min", origin),
            Input("tolerance", SPEED_PCT, "%", "common practice"),
        ),
        "sampling theorem: each half of a pulse is to be seen",
    )


def rounded_down_s(longest_s: float) -> float:
    """Return the next lower multiple of 0.1 ms, or of 1 us where there is none."""
    for step_us in (100, 1):
        if steps := math.floor(longest_s * 1e6 / step_us):
            return steps * step_us / 1e6
    return longest_s
