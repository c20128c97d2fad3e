"""The one figure of a user's own sensor that is wrong: beside the others it fits no fitted part."""

from collections.abc import Iterator

from pincheck.analysis import misreading
from pincheck.analysis.case import Case
from pincheck.analysis.sensor_chain import Chain, described_sensor, joined
from pincheck.claims.sensor_values import of_figures
from pincheck.model.claim import Claim, SensorValue
from pincheck.model.finding import Change
from pincheck.model.path import Wired
from pincheck.physics.curve import OutOfRange
from pincheck.sensors import Sensor, fitted, hot_c, letters

_ROUND_C = 5.0
"""Data sheets and users choose points at such steps (`common practice`)."""
_NEAR_ROUND_K = 0.3


def mended(case: Case, wired: Wired, claim: Claim) -> Change | None:
    """Return the change of one figure, in its own line, that makes the user's table fit the part.

    None where the sensor is not described by figures of lines, or where one alone cannot do it.
    """
    value, part = claim.value, fitted(wired.part)
    assert isinstance(value, SensorValue)
    figures = {name: figure for name, figure, _ in value.lines}
    if part is None:
        return None
    for name, figure, setting in value.lines:
        for wanted in _wanted(part, name, figures, hot_c(wired.role)):
            described = described_sensor(of_figures(value.written, {**figures, name: wanted}))
            found = joined(case, wired, claim, described)
            if wanted == figure or not isinstance(found, Chain):
                continue
            if found.by_class or not misreading.worst(found, found.readings(found.divider)):
                at = Claim(wired.role, "table", value, setting, caveat=claim.caveat)
                lines = ((name, wanted, setting),)
                right = SensorValue(value.written, figures=((name, wanted),), lines=lines)
                return Change(wired.role, "table", right, at)
    return None


def _wanted(part: Sensor, name: str, figures: dict[str, float], top_c: float) -> Iterator[float]:
    """Yield what a figure should be for the fitted part, the others being right."""
    kind, _, index = name.partition("_")
    assert part.curve
    try:
        if kind == "resistance" and (temp_c := figures.get(f"temperature_{index}")) is not None:
            yield float(f"{part.curve.ohm(temp_c):.4g}")
        elif kind == "temperature" and (ohm := figures.get(f"resistance_{index}")) is not None:
            right_c = part.curve.temp_c(ohm)
            round_c = _ROUND_C * round(right_c / _ROUND_C)
            if abs(right_c - round_c) <= _NEAR_ROUND_K:
                yield round_c
        else:
            for known in filter(None, (part.letters, letters(part, top_c))):
                yield dict(zip(("r25_ohm", "beta_k", "c"), known, strict=True))[name]
    except (OutOfRange, KeyError):
        return
