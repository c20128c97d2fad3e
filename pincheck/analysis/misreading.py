"""What a wrong belief comes to: its severity, its numbers and its sentence."""

from collections.abc import Iterator

from pincheck.analysis.sensor_chain import Chain
from pincheck.model.finding import Number, Severity
from pincheck.physics.believed import SensorReading, worst_error

SLACK_K = 5.0
"""An error that nobody notices in a print (`common practice`)."""

ROOM_C = 20.0
"""A cold machine (`common practice`)."""
_HARMLESS_K = 15.0
"""An error of less makes prints a little too hot or too cold and harms nothing
(`common practice`)."""


def excess_k(chain: Chain, row: SensorReading) -> float:
    """Return by how much an error goes beyond the slack and what is known of the curves, in K."""
    unsure = chain.fitted.uncertainty_k(row.true_c) + chain.assumed.uncertainty_k(row.true_c)
    return abs(row.error_c) - SLACK_K - unsure


def worst(chain: Chain, rows: tuple[SensorReading, ...]) -> SensorReading | None:
    """Return the reading to tell of, None where all are within what is known.

    A reading that is too low counts before one that is too high: it burns.
    """
    off = [row for row in rows if excess_k(chain, row) > 0]
    low = [row for row in off if row.error_c < 0 and row.true_c >= 60]
    return max(low or off, key=lambda row: abs(row.error_c), default=None)


def severity(row: SensorReading) -> Severity:
    """Return advice for a small error, else danger for a reading too low, a fault for too high."""
    if abs(row.error_c) <= _HARMLESS_K:
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
        parts = f"part {band.r25_k:.2f} K, beta {band.beta_k:.2f} K, pull-up {band.pullup_k:.2f} K"
        at = f"tolerance at {band.true_c:.0f} C"
        for how, kelvin in (("worst case", band.worst_k), ("root sum square", band.rss_k)):
            yield Number(f"{at} ({how})", kelvin, "K", f"{how} of {parts}", given, source)


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
