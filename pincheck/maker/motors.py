"""Motor currents: set by command, or on a driver whose type the wiring states."""

import math
from collections.abc import Iterator

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.motor_current import SET_BY_WIRE
from pincheck.maker.want import Want
from pincheck.model.path import Trace
from pincheck.model.setting import StyleName
from pincheck.physics.motor import peak_a, rms_a

SHARE = 0.8
"""Share of the rated current that turns a motor without overheating what it sits on
(`common practice`)."""

_STEP_MA = 10


def motors(trace: Trace, style: StyleName) -> Iterator[Want]:
    """Yield the current of every motor that the style can set, with its sense resistor.

    Where no command sets it, it belongs to the driver's type.
    """
    by_command = styles.of(style).layout.current_by_command
    for wired in trace.wired:
        role, driver = wired.role, wired.path.driver
        rms = current_a(trace, role) if roles.function(role) == "motor" else None
        if not rms or (not by_command and not driver_type(trace, role)):
            continue
        if by_command:
            # the command takes the peak of the sine, in whole steps
            rms = rms_a(math.floor(1000 * peak_a(rms) / _STEP_MA) * _STEP_MA / 1000)
        yield Want(role, "current_a", rms, f"{SHARE:.0%} of what motor and driver bear")
        if not by_command and driver and driver.sense_ohm:
            yield Want(role, "sense_ohm", driver.sense_ohm, "fitted beside the driver")


def driver_type(trace: Trace, role: str) -> str:
    """Return the type of a motor's driver that takes its current over a wire; empty for no such."""
    wired = trace.find(role)
    driver = wired.path.driver if wired else None
    stated = driver.type.lower() if driver else ""
    return stated if SET_BY_WIRE.fullmatch(stated) else ""


def current_a(trace: Trace, role: str) -> float | None:
    """Return the RMS current for a fitted motor, None where neither it nor its driver is rated."""
    wired = trace.find(role)
    if wired is None:
        return None
    driver = wired.path.driver
    ratings = [it for it in (wired.part.current_a, driver.max_a if driver else None) if it]
    return math.floor(1000 * SHARE * min(ratings)) / 1000 if ratings else None
