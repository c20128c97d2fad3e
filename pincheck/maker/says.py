"""Whether a configuration that was read back says what was wanted."""

from pincheck.analysis.case import Case
from pincheck.analysis.sensor_chain import assumed_sensor
from pincheck.claims import Vocabulary
from pincheck.maker.want import Want
from pincheck.model.claim import Claim, PinValue, SensorValue
from pincheck.model.role import split
from pincheck.sensors import same_part

_SLACK = 1e-6
_HALF_A_BYTE = 0.5 / 255
"""Duties are often written as one of 256 steps."""

_UNSAID = {"inverted": False, "pull": "none"}
"""What firmware takes where nothing is said."""


def says(case: Case, want: Want) -> bool:
    """Return whether the claims hold a wanted value for certain."""
    claim = case.known(want.role, want.attribute)
    if claim is None:
        return _UNSAID.get(want.attribute) == want.value
    return isinstance(claim, Claim) and _same(case, claim, want)


def has_key(vocabulary: Vocabulary, role: str, attribute: str) -> bool:
    """Return whether a style has any key for an attribute of such a role."""
    group, _, function = split(role)
    for entry in vocabulary.entries:
        if entry.attribute == attribute and entry.role.endswith(f".{function}"):
            of = entry.group or entry.role.partition(".")[0].partition("{")[0]
            if of.startswith("<") or of in (group, ""):
                return True
    return False


def _same(case: Case, claim: Claim, want: Want) -> bool:
    said, value = claim.value, want.value
    if isinstance(value, PinValue) and isinstance(said, PinValue):
        return (said.place, said.virtual) == (value.place, value.virtual)
    if isinstance(value, SensorValue) and isinstance(said, SensorValue):
        assumed = assumed_sensor(case, claim)
        return assumed is not None and same_part(assumed.id, value.sensor)
    if isinstance(value, bool) or isinstance(said, bool):
        return said is value
    if isinstance(value, int | float) and isinstance(said, int | float):
        slack = _HALF_A_BYTE if want.attribute in ("max_power", "on_power", "min_duty") else 0.0
        return abs(said - value) <= max(slack, _SLACK * max(1.0, abs(value)))
    return said == value
