"""Sensor tables and the pull-ups that they are computed with."""

from collections.abc import Iterator

from pincheck import styles
from pincheck.analysis import roles
from pincheck.maker.want import Want
from pincheck.model.claim import SensorValue
from pincheck.model.path import Trace, Wired
from pincheck.model.setting import StyleName
from pincheck.physics.divider import parallel_ohm
from pincheck.physics.platinum import PlatinumCurve
from pincheck.sensors import fitted, hot_c, sensor, spelled, spellings

_CONVERTER = "converter-rtd"


def converter_word(wired: Wired | None, style: StyleName) -> str:
    """Return the style's word for what reads a platinum sensor, empty where it hangs on a pin.

    The keys of a converter count only beside this word, so it stands in the layout.
    """
    if wired is None or not wired.path.reference_ohm or _r0_ohm(wired) is None:
        return ""
    return spellings(style, sensor(_CONVERTER))[0]


def _r0_ohm(wired: Wired) -> float | None:
    curve = sensor(wired.part.sensor).curve if wired.part.sensor else None
    return curve.r0_ohm if isinstance(curve, PlatinumCurve) else None


def _converter(wired: Wired, style: StyleName, reference_ohm: float) -> Iterator[Want]:
    """Yield the nominal and reference, or, of the one nominal a style knows, a share of it."""
    r0_ohm, why = _r0_ohm(wired), "reference resistor of the amplifier"
    taken = spelled(style, converter_word(wired, style))
    if r0_ohm and taken and len(taken.elements) == 1:
        only = sensor(taken.elements[0]).curve
        share = only.ohm(0.0) / r0_ohm if only else 1.0
        if share != 1.0:
            why += f" is {reference_ohm:g} ohm; the sensor is taken for {r0_ohm * share:g} ohm"
        yield Want(wired.role, "reference_ohm", reference_ohm * share, why)
        return
    if r0_ohm:
        yield Want(wired.role, "nominal_ohm", r0_ohm, wired.part.title or wired.part.id)
    yield Want(wired.role, "reference_ohm", reference_ohm, why)


def sensors(trace: Trace, style: StyleName) -> Iterator[Want]:
    """Yield table and pull-up (or an amplifier's reference) of every temperature sensor.

    In some styles a table stands for one pull-up already.
    """
    for wired in trace.wired:
        part, path, role = wired.part, wired.path, wired.role
        if roles.function(role) != "sensor" or not part.sensor:
            continue
        name = _CONVERTER if converter_word(wired, style) else part.sensor
        yield Want(role, "table", SensorValue(name, name), part.title or part.id)
        if path.reference_ohm:
            yield from _converter(wired, style, path.reference_ohm)
        elif path.pullups:
            ohm = parallel_ohm(*(pull.ohm for pull in path.pullups))
            known = fitted(part)
            by_table = known and spellings(style, known, ohm, hot_c(role))
            if not (styles.of(style).tables_have_pullup and by_table):
                yield Want(role, "pullup_ohm", ohm, "pull-up on the board")
            if path.series_ohm:
                yield Want(role, "series_ohm", path.series_ohm, "between sensor and pull-up")
