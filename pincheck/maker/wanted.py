"""Everything that a right configuration of an assembly says in one style."""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.maker.fans import fans
from pincheck.maker.heater_limits import limits
from pincheck.maker.motors import motors
from pincheck.maker.pins import pins
from pincheck.maker.protection import protection
from pincheck.maker.sensors import sensors
from pincheck.maker.want import Want
from pincheck.model.path import Trace
from pincheck.model.setting import StyleName
from pincheck.model.wiring import Assembly


def wanted(assembly: Assembly, trace: Trace, style: StyleName) -> tuple[Want, ...]:
    """Return what the firmware should believe, pins first.

    Raises:
        CannotExpressError: no configuration of the style makes this assembly safe, or the wiring
            does not say enough; says why.
    """
    first = (*pins(assembly, trace), *sensors(trace, style), *limits(assembly, trace, style))
    guarded = (*first, *protection(assembly, trace, style, first))
    return (
        *guarded,
        *fans(assembly, trace, style),
        *_probe(trace),
        *motors(trace, style),
    )


def _probe(trace: Trace) -> Iterator[Want]:
    for wired in trace.wired:
        if roles.function(wired.role) == "signal" and wired.part.probe_kind:
            yield Want(wired.role, "probe_kind", wired.part.probe_kind, wired.part.title)
        if roles.family(wired.role) == "probe.servo":
            yield Want(wired.role, "servo_number", 0.0, "the first servo")
