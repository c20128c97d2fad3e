"""A sensor's chain: what is read, how finely, how surely, and what a broken wire reads."""

import math
from collections.abc import Iterator

from pincheck.analysis.case import Case, value
from pincheck.analysis.ground_shift import leads_ohm, lift, shown_c
from pincheck.analysis.misreading import unsure_k as unsure
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.analysis.sensor_limits import COLDEST_C, limit
from pincheck.model.claim import Claim
from pincheck.model.finding import Number
from pincheck.model.path import Wired
from pincheck.physics.believed import SensorReading, resolution_c, unnoticed, worst_error
from pincheck.physics.divider import full_scale
from pincheck.reports.figure import FigureLine
from pincheck.reports.sentences import digits

_USUAL_C = {"bed": (25.0, 60.0, 100.0), "chamber": (25.0, 60.0)}
_HOT_C = (25.0, 100.0, 200.0)
_COLD_C = 0.0
_NOTHING_K, _KNOWN_K = 0.05, 0.5
"""An error that rounds to nothing; what the curves of published tables are known within."""
_SEEN_K = 0.5
"""Less than a display's last digit (`common practice`)."""


def sensor(case: Case, wired: Wired) -> Iterator[FigureLine]:
    """Yield what the firmware reads at true temperatures, its errors and its ends."""
    found = chain(case, wired)
    if not isinstance(found, Chain):
        yield FigureLine("not checked", found.reason if found else "the files name no sensor")
        return
    low, high = (limit(case, wired.role, name) for name in ("min_c", "max_c"))
    top = [value(high)] if isinstance(high, Claim) else []
    usual = _USUAL_C.get(wired.role.split(".")[0].rstrip("0123456789"), _HOT_C)
    yield FigureLine("read as", found.assumed.name)
    for row in found.readings(at_c=tuple(sorted({*usual, *top}))):
        yield _at(found, row)
    yield _worst(found, max((*usual, *top)))
    yield from _wires(case, found, max(usual))
    yield _ends(found)
    limits = (
        (value(low), value(high)) if isinstance(low, Claim) and isinstance(high, Claim) else None
    )
    yield _failed(found, "broken wire", math.inf, limits)
    yield _failed(found, "shorted wire", 0.0, limits)


def _at(found: Chain, row: SensorReading) -> FigureLine:
    at = f"at {row.true_c:.0f} C"
    source, given = found.source(), found.inputs()
    numbers = [found.number(f"read {at}", row)]
    band = found.band(row.true_c)
    places = 1 if band and band.worst_k < 1.0 else 0
    text = f"reads {row.believed_c:.{places}f} C"
    if row.end:
        text += f", the {row.end} end of the assumed curve"
    else:
        step = resolution_c(row.believed_c, found.assumed_curve, found.assumed_divider)
        formula = f"width of one of {full_scale(found.assumed_divider) + 1} counts, in K"
        numbers.append(Number(f"one count {at}", step, "K", formula, given, source))
        text += f", {digits(round(step, 2) or step, 2)} K a count"
    if band is None:
        return FigureLine(at, f"{text}; tolerance not known", numbers)
    numbers += [
        Number(
            f"tolerance {at}, worst case", band.worst_k, "K", f"sum: {band.said}", given, source
        ),
        Number(
            f"tolerance {at}, likely",
            band.rss_k,
            "K",
            f"root sum square: {band.said}",
            given,
            source,
        ),
    ]
    return FigureLine(
        at,
        f"{text}; +-{_tenths(band.worst_k)} K at worst, +-{_tenths(band.rss_k)} K likely",
        numbers,
    )


def _tenths(kelvin: float) -> str:
    return digits(round(kelvin, 1), 2)


def _worst(found: Chain, high_c: float) -> FigureLine:
    ends = found.curve, found.divider, found.assumed_curve, found.assumed_divider
    label = f"worst error, {_COLD_C:.0f} to {high_c:.0f} C"
    try:
        at_c, error_k = worst_error(*ends, _COLD_C, high_c)
    except ValueError as error:
        return FigureLine(label, f"not checked: {error}")
    unsure_k = unsure(found, at_c if abs(error_k) >= _NOTHING_K else high_c)
    if abs(error_k) < _NOTHING_K and unsure_k < _KNOWN_K:
        text = "none: the firmware assumes what is fitted"
    elif abs(error_k) < _NOTHING_K:
        text = f"within {unsure_k:.0f} K: the firmware assumes the curve of the class"
    else:
        off = f"{'+' if error_k > 0 else ''}{digits(error_k, 2)} K"
        text = f"{off} at a true {at_c:.0f} C: reads too {_side(error_k)}"
        if unsure_k >= _KNOWN_K:
            text += f"; the curves are known within {unsure_k:.0f} K"
    given, source = found.inputs(), found.source()
    formula = "largest of believed less true, every 5 K"
    return FigureLine(label, text, (Number("worst error", error_k, "K", formula, given, source),))


def _wires(case: Case, found: Chain, at_c: float) -> Iterator[FigureLine]:
    """Yield what its leads add to a platinum sensor, and what other currents do to its ground."""
    ohm, solved = found.curve.ohm(at_c), "Kirchhoff's laws"
    before = found.shown_c(ohm)
    leads = leads_ohm(case, found) if found.fitted.kind == "platinum" else None
    after = found.shown_c(ohm + leads) if leads else None
    if leads and before is not None and after is not None:
        numbers = (
            Number("leads", leads, "ohm", "wires and contacts, out and back", (), solved),
            Number("read more", after - before, "K", "T(R + leads) - T(R)", found.inputs()),
        )
        more = f"{_tenths(after - before)} K too high at {at_c:.0f} C"
        text = f"{digits(leads, 3)} ohm: reads {more}"
        yield FigureLine("its leads", text, numbers)
    lifted = lift(case, found)
    after = shown_c(found, at_c, lifted.volts.nominal) if lifted else None
    if lifted and before is not None and after is not None and abs(after - before) >= _SEEN_K:
        volts = lifted.volts.nominal
        numbers = (
            Number("lift of its ground", volts, "V", "I x R of the shared way back", (), solved),
            Number("read more", after - before, "K", "share + lift x (1 - share)", found.inputs()),
        )
        text = f"lifts by {1000 * volts:.0f} mV: reads {after - before:+.1f} K at {at_c:.0f} C"
        yield FigureLine("ground with all on", text, numbers)


def _side(error_k: float) -> str:
    return "low, so the firmware overheats it" if error_k < 0 else "high"


def _ends(found: Chain) -> FigureLine:
    curve = found.assumed_curve
    formula = "ends of the curve that the firmware assumes"
    numbers = (
        Number("lowest reading", curve.low_c, "C", formula, found.inputs(), found.assumed.source),
        Number("highest reading", curve.high_c, "C", formula, found.inputs(), found.assumed.source),
    )
    return FigureLine("ends of the curve", f"{curve.low_c:.0f} to {curve.high_c:.0f} C", numbers)


def _failed(found: Chain, what: str, ohm: float, limits: tuple[float, float] | None) -> FigureLine:
    shown, curve = found.shown_c(ohm), found.assumed_curve
    if shown is None:
        # An NTC's resistance falls with heat, a platinum sensor's rises.
        falling = curve.ohm(curve.low_c) > curve.ohm(curve.high_c)
        if falling == math.isinf(ohm):
            kind = "ntc" if found.fitted.kind == "ntc" else "platinum"
            ends = found.assumed.reads_c
            shown, most = (ends[0], "") if ends else (COLDEST_C[kind], " at the lowest")
        else:
            shown, most = curve.high_c, " or more"
        text = f"reads {shown:.0f} C{most}, off the curve"
    else:
        text = f"reads {shown:.0f} C"
    formula = "voltage of the failed line, read back through the assumed divider"
    number = Number(f"reading of a {what}", shown, "C", formula, found.inputs(), found.source())
    if limits is None:
        return FigureLine(what, f"{text}; the files give no limits", (number,))
    heeded = "NOT noticed" if unnoticed(shown, *limits) else "noticed"
    return FigureLine(
        what, f"{text}; limits {limits[0]:.0f} to {limits[1]:.0f} C: {heeded}", (number,)
    )
