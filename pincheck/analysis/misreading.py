"""What a wrong belief comes to: its severity, its numbers and its sentence."""

import math
from collections.abc import Iterator

from pincheck.analysis.case import Case
from pincheck.analysis.heater_scene import settable_c
from pincheck.analysis.misread_heating import believed, heated_by_reading
from pincheck.analysis.sensor_chain import Chain
from pincheck.analysis.weakest_limit import TemperatureBound, bounds
from pincheck.model.finding import Number, Severity
from pincheck.model.role import sibling
from pincheck.model.threshold import Threshold
from pincheck.physics.believed import SensorReading, worst_error
from pincheck.sensors import HOT_C, READS_RIGHT_K, hot_c

_TOLD_K = 0.5
_PRINTS_C = (60.0, 110.0, 210.0)
"""Targets of ordinary prints, of beds and hot ends (`common practice`)."""
HARMLESS_K = Threshold(
    15.0, "K", "error of a reading",
    "common practice: prints are a little too hot or too cold, and nothing is harmed",
    below="advice", above="a fault; a danger of any size where some target then passes a limit",
)  # fmt: skip


def unsure_k(chain: Chain, at_c: float) -> float:
    """Return within how many K the two curves of a sensor are known at a temperature."""
    return chain.fitted.uncertainty_k(at_c) + chain.assumed.uncertainty_k(at_c)


def worst(chain: Chain, rows: tuple[SensorReading, ...]) -> SensorReading | None:
    """Return the reading to tell of, None where all are within what is known.

    A reading that is too low counts before one that is too high: it burns.
    """
    off = [row for row in rows if abs(row.error_c) - unsure_k(chain, row.true_c) > READS_RIGHT_K]
    low = [row for row in off if row.error_c < 0 and row.true_c >= 60]
    return max(low or off, key=lambda row: abs(row.error_c), default=None)


def unearned(chain: Chain) -> str:
    """Return why a sensor without a contradiction does not agree; empty where it does.

    It agrees where it reads right at every temperature in use that the part stands, by whatever
    its curve and the firmware's table may be off. A bed's limit above them is never reached.
    """
    role, top_c = chain.wired.role, max(chain.probed_c)
    top_c = min(hot_c(role), top_c) if hot_c(role) < HOT_C else top_c
    used_c = tuple(sorted({min(at_c, top_c) for at_c in chain.probed_c}))
    rows = chain.readings(chain.divider, used_c)
    stands_c = chain.wired.part.max_c or chain.fitted.max_c or math.inf
    if any(chain.curve.high_c < at_c <= stands_c for at_c in used_c):
        return f"the part's curve is known up to {chain.curve.high_c:.0f} C only"
    most = max(rows, key=lambda row: abs(row.error_c) + unsure_k(chain, row.true_c), default=None)
    if most is None:
        return "the part's curve holds none of the temperatures in use"
    at_c, parts = most.true_c, []
    if abs(most.error_c) + unsure_k(chain, at_c) <= READS_RIGHT_K:
        return ""
    if abs(most.error_c) >= _TOLD_K:
        side = "high" if most.error_c > 0 else "low"
        parts.append(f"the firmware's curve reads {abs(most.error_c):.0f} K too {side}")
    if (part_k := chain.fitted.uncertainty_k(at_c)) >= _TOLD_K:
        own = "give the data sheet's as its `curve` in a parts file"
        parts.append(f"the part's curve is known within {part_k:.0f} K only ({own})")
    if (table_k := chain.assumed.uncertainty_k(at_c)) >= _TOLD_K:
        ends = chain.assumed.reads_c
        span = f", which spans {ends[0]:g} to {ends[1]:g} C," if ends else ""
        parts.append(f"the firmware's table{span} is known within {table_k:.0f} K only")
    return f"at {at_c:.0f} C {', and '.join(parts)}"


def severity(case: Case, chain: Chain, row: SensorReading) -> Severity:
    """Return danger where a target takes the group past what it stands, else by size.

    The distance to the nearest limit counts for a bed as for a hot end, by more than parts that
    are right may read off. Where no limit is known, a large error that is too low is a danger.
    """
    nearest = min(bounds(case, chain.wired.role.split(".")[0]), key=_stands, default=None)
    heater = str(sibling(chain.wired.role, "heater"))
    low, small = row.error_c < 0 and row.true_c >= 60, abs(row.error_c) <= HARMLESS_K
    target_c = settable_c(case, heater)
    if low and nearest and target_c is not None and case.trace.find(heater):
        at_c = min(nearest.max_c, chain.curve.high_c)
        band, just_c = chain.band(at_c), believed(chain)(at_c) + 1.0
        cold_c = case.assembly.ambient_c
        targets = {target_c, *(it for it in (just_c, *_PRINTS_C) if cold_c < it < target_c)}
        hot = (heated_by_reading(case, chain, it).hottest_c for it in targets)
        passes = any(it is not None and it > nearest.max_c for it in hot)
        if passes and -row.error_c > (band.rss_k if band else 0.0):
            return Severity.DANGER
        return Severity.ADVICE if small else Severity.FAULT
    if small:
        return Severity.ADVICE
    return Severity.DANGER if low else Severity.FAULT


def _stands(bound: TemperatureBound) -> float:
    return bound.max_c


def numbers(chain: Chain, rows: tuple[SensorReading, ...]) -> tuple[Number, ...]:
    """Return what the firmware believes at each probed temperature, with the derivation.

    Then the worst error from cold to the hottest of these, with its sign: negative reads too
    low; and how far parts that are right may still read off there.
    """
    believed = tuple(chain.number(f"believed at a true {row.true_c:.0f} C", row) for row in rows)
    return (*believed, *_spread(chain, rows)) if rows else ()


def _spread(chain: Chain, rows: tuple[SensorReading, ...]) -> Iterator[Number]:
    given, source = chain.inputs(), chain.source()
    ends = chain.curve, chain.divider, chain.assumed_curve, chain.assumed_divider
    at_c, error_k = worst_error(*ends, min(0.0, rows[0].true_c), rows[-1].true_c)
    formula = "largest of believed less true, every 5 K from 0 C"
    yield Number(f"worst error, at {at_c:.0f} C", error_k, "K", formula, given, source)
    if band := chain.band(rows[-1].true_c):
        at = f"tolerance at {band.true_c:.0f} C"
        for how, kelvin in (("worst case", band.worst_k), ("root sum square", band.rss_k)):
            yield Number(f"{at} ({how})", kelvin, "K", f"{how} of {band.said}", given, source)


def sentence(case: Case, chain: Chain, row: SensorReading) -> str:
    """Return what happens: what is believed, and where the part ends up."""
    side = "low" if row.error_c < 0 else "high"
    past = {"high": " or more", "low": " or less"}.get(row.end, "")
    text = (
        f"at a true {row.true_c:.0f} C the firmware believes {row.believed_c:.0f} C"
        f"{'' if chain.assumed.reads_c else past}, {abs(row.error_c):.0f} K too {side}"
    )
    return f"{text}; {heated_by_reading(case, chain, row.true_c).text}"
