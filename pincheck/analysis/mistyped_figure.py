"""The one figure of a user's own sensor that is wrong: beside the others it fits no fitted part."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.analysis import misreading
from pincheck.analysis.sensor_chain import Chain, described_sensor
from pincheck.claims.sensor_values import of_figures
from pincheck.model.claim import Claim, SensorValue
from pincheck.model.finding import Change
from pincheck.physics.curve import OutOfRange
from pincheck.sensors import fitted_curve, letters

_ROUND_C = 5.0
"""Data sheets and users choose points at such steps (`common practice`)."""
_NEAR_ROUND_K = 0.3


def mended(found: Chain) -> Change | None:
    """Return the change of one figure, in its own line, that makes the user's table fit the part.

    None where the sensor is not described by figures of lines, or where one alone cannot do it.
    """
    value = found.claim.value
    assert isinstance(value, SensorValue)
    figures = {name: figure for name, figure, _ in value.lines}
    for name, figure, setting in value.lines:
        for wanted in _wanted(found, name, figures):
            if wanted == figure:
                continue
            described = described_sensor(of_figures(value.written, {**figures, name: wanted}))
            if described is None or described.curve is None:
                continue
            curve = fitted_curve(found.fitted, described) or found.curve
            trial = evolve(found, assumed=described, assumed_curve=described.curve, curve=curve)
            if misreading.worst(trial, trial.readings(found.divider)) is None:
                at = Claim(found.wired.role, "table", value, setting, caveat=found.claim.caveat)
                right = SensorValue(
                    value.written, figures=((name, wanted),), lines=((name, wanted, setting),)
                )
                return Change(found.wired.role, "table", right, at)
    return None


def _wanted(found: Chain, name: str, figures: dict[str, float]) -> Iterator[float]:
    """Yield what a figure should be for the fitted part, the others being right."""
    kind, _, index = name.partition("_")
    try:
        if kind == "resistance" and (temp_c := figures.get(f"temperature_{index}")) is not None:
            yield float(f"{found.curve.ohm(temp_c):.4g}")
        elif kind == "temperature" and (ohm := figures.get(f"resistance_{index}")) is not None:
            right_c = found.curve.temp_c(ohm)
            round_c = _ROUND_C * round(right_c / _ROUND_C)
            if abs(right_c - round_c) <= _NEAR_ROUND_K:
                yield round_c
        elif trade := letters(found.fitted):
            yield dict(zip(("r25_ohm", "beta_k", "c"), trade, strict=True))[name]
    except (OutOfRange, KeyError):
        return
