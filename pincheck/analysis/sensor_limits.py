"""The temperatures between which firmware takes a reading for real."""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.claim import Claim
from pincheck.model.finding import Unchecked
from pincheck.model.role import sibling

_HEATED = frozenset(("hotend", "bed", "chamber"))


def limit(case: Case, sensor_role: str, attribute: str) -> Claim | Unchecked | None:
    """Return the claim of `min_c` or `max_c` of a sensor: its heater's, else its own."""
    if roles.family(sensor_role).split(".")[0] in _HEATED:
        found = case.known(str(sibling(sensor_role, "heater")), attribute)
        if found is not None:
            return found
    return case.known(sensor_role, attribute)
