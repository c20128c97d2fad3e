"""The temperatures between which firmware takes a reading for real."""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.claim import Claim
from pincheck.model.finding import Unchecked
from pincheck.model.role import sibling
from pincheck.model.threshold import Threshold

COLDEST_NTC_C = Threshold(
    -100.0, "C", "minimum temperature of a thermistor without a table",
    "from memory: converters are clamped a few counts before their end",
    below="danger: no broken wire reads colder", above="not checked, up to -40 C",
)  # fmt: skip
PLATINUM_C = -240.0
"""Platinum comes to 0 ohm at -242 C (IEC 60751)."""
COLDEST_C = {"ntc": COLDEST_NTC_C, "platinum": PLATINUM_C}
"""No firmware that computes a temperature reads a sensor of a kind without contact colder."""
_HEATED = frozenset(("hotend", "bed", "chamber"))


def limit(case: Case, sensor_role: str, attribute: str) -> Claim | Unchecked | None:
    """Return the claim of `min_c` or `max_c` of a sensor: its heater's, else its own."""
    if roles.family(sensor_role).split(".")[0] in _HEATED:
        found = case.known(str(sibling(sensor_role, "heater")), attribute)
        if found is not None:
            return found
    return case.known(sensor_role, attribute)
