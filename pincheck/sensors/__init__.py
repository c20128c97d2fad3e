"""The catalogue of sensors, the words of each style for them, and sensors users describe."""

from pincheck.sensors.described import (
    from_beta,
    from_letters,
    from_platinum,
    from_points,
    from_shares,
    letters,
)
from pincheck.sensors.load import (
    UnknownSensorError,
    add_words,
    amplifier,
    catalogue,
    fitted_curve,
    same_part,
    sensor,
)
from pincheck.sensors.sensor import Sensor
from pincheck.sensors.spelling import nearest, spelled, spellings

__all__ = [
    "Sensor",
    "UnknownSensorError",
    "add_words",
    "amplifier",
    "catalogue",
    "fitted_curve",
    "from_beta",
    "from_letters",
    "from_platinum",
    "from_points",
    "from_shares",
    "letters",
    "nearest",
    "same_part",
    "sensor",
    "spelled",
    "spellings",
]
