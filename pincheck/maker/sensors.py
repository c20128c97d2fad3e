"""Sensor tables and the pull-ups that they are computed with."""

from collections.abc import Iterator

from pincheck.maker.want import Want
from pincheck.model.claim import SensorValue
from pincheck.model.path import Trace
from pincheck.model.setting import Style
from pincheck.physics.divider import parallel_ohm
from pincheck.rules import words
from pincheck.sensors import spellings


def sensors(trace: Trace, style: Style) -> Iterator[Want]:
    """Yield table and pull-up (or an amplifier's reference) of every temperature sensor.

    In the define style a numbered table stands for one pull-up already.
    """
    for wired in trace.wired:
        part, path, role = wired.part, wired.path, wired.role
        if words.function(role) != "sensor" or not part.sensor:
            continue
        yield Want(role, "table", SensorValue(part.sensor, part.sensor), part.title or part.id)
        if path.reference_ohm:
            why = "reference resistor of the amplifier"
            yield Want(role, "reference_ohm", path.reference_ohm, why)
        elif path.pullups:
            ohm = parallel_ohm(*(pull.ohm for pull in path.pullups))
            if not (style == "define" and spellings(style, part.sensor, ohm)):
                yield Want(role, "pullup_ohm", ohm, "pull-up on the board")
