"""What a wrong belief comes to: its severity, its numbers and its sentence."""

import math
from collections.abc import Iterator

from pincheck.analysis.sensor_chain import Chain
from pincheck.model.finding import Number, Severity
from pincheck.model.threshold import Threshold
from pincheck.physics.believed import SensorReading, worst_error
from pincheck.sensors import HOT_C, READS_RIGHT_K, hot_c

ROOM_C = 20.0
"""A cold machine (`common practice`)."""
_TOLD_K = 0.5
HARMLESS_K = Threshold(
    15.0, "K", "error of a reading",
    "common practice: prints are a little too hot or too cold, and nothing is harmed",
    below="advice", above="danger where it reads too low, from 60 C up; else a fault",
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


def severity(row: SensorReading) -> Severity:
    """Return advice for a small error, else danger for a reading too low, a fault for too high."""
    if abs(row.error_c) <= HARMLESS_K:
        return Severity.ADVICE
    return Severity.DANGER if row.error_c < 0 and row.true_c >= 60 else Severity.FAULT


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


def sentence(chain: Chain, row: SensorReading) -> str:
    """Return what happens: what is believed, and where the part ends up."""
    side = "low" if row.error_c < 0 else "high"
    believed = f"{row.believed_c:.0f}"
    text = (
        f"at a true {row.true_c:.0f} C the firmware believes {believed} C, "
        f"{abs(row.error_c):.0f} K too {side}"
    )
    really = chain.really_c(row.true_c)
    if really is None:
        return text
    if really.true_c < ROOM_C:
        return f"{text}; asked for {row.true_c:.0f} C it never heats, for it reads that when cold"
    at_least = {"high": "more than ", "low": "less than "}.get(really.end, "")
    return f"{text}; asked for {row.true_c:.0f} C it heats to {at_least}{really.true_c:.0f} C"
