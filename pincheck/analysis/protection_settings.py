"""The firmware's protection of a heater, put together from what the files claim."""

from collections.abc import Mapping
from typing import Any

from pincheck.analysis.case import Case, value
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim
from pincheck.model.finding import Unchecked
from pincheck.physics.monitor import SETTINGS
from pincheck.physics.protection import HeaterModel, Protection

_LIMITS = ("min_c", "max_c")
_MODEL = (
    *("model_rate_k_s", "model_cooling_k_s", "model_cooling_exponent"),
    *("model_gain_k", "model_tau_s", "model_dead_time_s"),
)

HOLDING: Mapping[str, tuple[str, ...]] = {
    "window": ("trip_period_s", "trip_hysteresis_c"),
    "accumulated": ("max_error_ks", "trip_hysteresis_c"),
    "model": ("trip_period_s", "trip_hysteresis_c"),
}
"""The settings that say when a temperature which falls in a print is noticed."""

RISING: Mapping[str, tuple[str, ...]] = {
    "window": ("watch_period_s", "watch_increase_c", "trip_hysteresis_c"),
    "accumulated": ("watch_period_s", "max_error_ks", "trip_hysteresis_c"),
    "model": ("trip_period_s",),
}
"""The settings that say when a missing rise is noticed, those that may be tightened."""

ProtectionSettings = tuple[Protection, tuple[Claim, ...]]


def protection_of(
    case: Case, role: str, duty: float, *, even_off: bool = False
) -> ProtectionSettings | str:
    """Return a heater's protection with the claims behind it, or why it is not known.

    `duty` is the power cap (0 to 1), under which the firmware's own model expects less. With
    `even_off` one that is switched off is of kind "none", which has its limits alone.
    """
    on, kind = case.known(role, "protection"), case.known(role, "protection_kind")
    if not isinstance(on, Claim):
        return on.reason if on else "the files do not say whether the heater is protected"
    if not on.value:
        limits = _claimed(case, role, _LIMITS) if even_off else "its protection is switched off"
        if isinstance(limits, str):
            return limits
        given: dict[str, Any] = {name: value(claim) for name, claim in limits.items()}
        return Protection("none", **given), ()
    if not isinstance(kind, Claim):
        return kind.reason if kind else "the files do not say how the heater is protected"
    if kind.value not in HOLDING:
        return (
            f"{kind.value!r} is none of {', '.join(HOLDING)}, the protections that are understood"
        )
    names = SETTINGS[str(kind.value)]
    found = _claimed(case, role, (*names, *_LIMITS, *(_MODEL if kind.value == "model" else ())))
    if isinstance(found, str):
        return found
    fields: dict[str, Any] = {name: value(claim) for name, claim in found.items()}
    fields["kind"] = kind.value
    figures = {name: fields.pop(name) for name in _MODEL if name in fields}
    for name in names:
        unwatched = name == "watch_increase_c" and not fields.get("watch_period_s")
        if name not in fields and not unwatched:
            return f"the files do not give the {ATTRIBUTES[name].words}"
    try:
        protection = Protection(**fields, model=_model(figures, duty))
    except ValueError as error:
        return str(error)
    return protection, tuple(claim for name, claim in found.items() if name not in _LIMITS)


def _claimed(case: Case, role: str, names: tuple[str, ...]) -> dict[str, Claim] | str:
    found = {}
    for name in names:
        claim = case.known(role, name)
        if isinstance(claim, Unchecked):
            return claim.reason
        if claim:
            found[name] = claim
    return found


def _model(figures: dict[str, float], duty: float) -> HeaterModel | None:
    """Return the heater model in whichever letters it is given; None where some are missing."""
    rate, cooling = figures.get("model_rate_k_s"), figures.get("model_cooling_k_s")
    gain, tau = figures.get("model_gain_k"), figures.get("model_tau_s")
    dead_time, exponent = figures.get("model_dead_time_s"), 1.0
    if rate is None and gain and tau:
        rate = gain / tau
    if cooling is not None:
        exponent = figures.get("model_cooling_exponent", exponent)
    elif tau:
        cooling = 100 / tau
    if not rate or not duty or cooling is None or dead_time is None:
        return None
    return HeaterModel(rate * duty, cooling, exponent, dead_time)
