"""Motor currents, as far as a style knows them without the driver's type."""

import math
from collections.abc import Iterator

from pincheck.maker.want import Want
from pincheck.model.path import Trace
from pincheck.model.setting import Style
from pincheck.physics.motor import peak_a, rms_a
from pincheck.rules import words

SHARE = 0.8
"""Share of the rated current that turns a motor without overheating what it sits on
(`common practice`)."""

_STEP_MA = 10


def motors(trace: Trace, style: Style) -> Iterator[Want]:
    """Yield the current of every motor for the style that sets it by command.

    In the other styles the current belongs to the driver's type, which no wiring names.
    """
    for wired in trace.wired if style == "gcode" else ():
        if words.function(wired.role) == "motor" and (rms := current_a(trace, wired.role)):
            # the command takes the peak of the sine, in whole steps
            rms = rms_a(math.floor(1000 * peak_a(rms) / _STEP_MA) * _STEP_MA / 1000)
            yield Want(wired.role, "current_a", rms, f"{SHARE:.0%} of what motor and driver bear")


def current_a(trace: Trace, role: str) -> float | None:
    """Return the RMS current for a fitted motor, None where neither it nor its driver is rated."""
    wired = trace.find(role)
    if wired is None:
        return None
    driver = wired.path.driver
    ratings = [it for it in (wired.part.current_a, driver.max_a if driver else None) if it]
    return math.floor(1000 * SHARE * min(ratings)) / 1000 if ratings else None
