"""Sensor tables and the pull-ups that they are computed with."""

from collections.abc import Iterator

from pincheck.maker.want import Want
from pincheck.model.claim import SensorValue
from pincheck.model.path import Trace, Wired
from pincheck.model.setting import Style
from pincheck.physics.divider import parallel_ohm
from pincheck.physics.platinum import PlatinumCurve
from pincheck.rules import words
from pincheck.sensors import sensor, spellings

_CONVERTER = "converter-rtd"


def read_by_converter(wired: Wired) -> str:
    """Return the catalogue's id of what reads a platinum sensor, empty where it hangs on a pin."""
    platinum = wired.part.sensor and sensor(wired.part.sensor).kind == "platinum"
    return _CONVERTER if platinum and wired.path.reference_ohm else ""


def sensors(trace: Trace, style: Style) -> Iterator[Want]:
    """Yield table and pull-up (or an amplifier's reference) of every temperature sensor.

    In the define style a numbered table stands for one pull-up already.
    """
    for wired in trace.wired:
        part, path, role = wired.part, wired.path, wired.role
        if words.function(role) != "sensor" or not part.sensor:
            continue
        known = read_by_converter(wired) or part.sensor
        yield Want(role, "table", SensorValue(known, known), part.title or part.id)
        if path.reference_ohm:
            if isinstance(curve := sensor(part.sensor).curve, PlatinumCurve):
                yield Want(role, "nominal_ohm", curve.r0_ohm, part.title or part.id)
            why = "reference resistor of the amplifier"
            yield Want(role, "reference_ohm", path.reference_ohm, why)
        elif path.pullups:
            ohm = parallel_ohm(*(pull.ohm for pull in path.pullups))
            if not (style == "define" and spellings(style, part.sensor, ohm)):
                yield Want(role, "pullup_ohm", ohm, "pull-up on the board")
