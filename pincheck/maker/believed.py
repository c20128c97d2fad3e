"""The sensor that a configuration believes in, without any wiring."""

from pincheck.analysis.case import Case
from pincheck.analysis.sensor_chain import assumed_sensor
from pincheck.model.claim import Claim, Claims, SensorValue
from pincheck.model.path import Trace
from pincheck.model.wiring import Assembly
from pincheck.sensors import Sensor


def believed(table: Claim | None, claims: Claims) -> Sensor | None:
    """Return the sensor behind a claimed table, None where nobody knows it."""
    if table is None or table.doubt or not isinstance(table.value, SensorValue):
        return None
    return assumed_sensor(Case(claims, Trace(()), Assembly("", {})), table)
