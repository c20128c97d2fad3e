"""Whether a change raises a heater limit or weakens a protection, told from its values alone."""

from collections.abc import Mapping

from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.finding import Change
from pincheck.model.role import split

_UP_IS_WEAKER: Mapping[str, str] = {
    "max_c": "Raises the heater limit",
    "max_power": "Raises the heater's power cap",
    "trip_period_s": "Weakens the thermal protection",
    "trip_hysteresis_c": "Weakens the thermal protection",
    "watch_period_s": "Weakens the thermal protection",
    "max_error_ks": "Weakens the thermal protection",
}
_DOWN_IS_WEAKER: Mapping[str, str] = {
    "min_c": "Lowers the limit that notices a broken sensor wire",
    "overshoot_c": "Raises the heater limit",
    "watch_increase_c": "Weakens the thermal protection",
}
_GUARDED = ("heater", "sensor")


def weakening(change: Change) -> str:
    """Return what gets weaker, beginning with the word that says so; empty where nothing does.

    A limit set where the files had none is no weakening: there is nothing it could be above.
    """
    told = f"Weakens a protection: {change.weakens}" if change.weakens else ""
    return _by_values(change) or told


def _by_values(change: Change) -> str:
    if split(change.role)[2] not in _GUARDED:
        return ""
    new, old = change.value, change.claim.value if change.claim else None
    if change.attribute == "protection":
        return "Switches a thermal protection off" if new is False else ""
    if not isinstance(new, int | float) or not isinstance(old, int | float):
        return ""
    if change.attribute == "watch_period_s" and 0 in (new, old):
        return "Switches the watch for a rise off" if new == 0 != old else ""
    tables = ((_UP_IS_WEAKER, new > old), (_DOWN_IS_WEAKER, new < old))
    lead = next((t[change.attribute] for t, worse in tables if worse and change.attribute in t), "")
    unit = ATTRIBUTES[change.attribute].unit
    return f"{lead} from {old:g} to {new:g} {unit}".rstrip() if lead else ""
