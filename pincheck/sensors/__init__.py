"""The catalogue of sensors, the words of each style for them, and sensors users describe."""

from pincheck.sensors.catalogue import (
    UnknownSensorError,
    add_words,
    amplifier,
    catalogue,
    data_sheet_curve,
    fitted,
    same_part,
    sensor,
)
from pincheck.sensors.described import (
    from_beta,
    from_letters,
    from_platinum,
    from_points,
    from_shares,
    letters,
)
from pincheck.sensors.sensor import Sensor
from pincheck.sensors.spelling import (
    HOT_C,
    READS_RIGHT_K,
    hot_c,
    misread_k,
    nearest,
    spelled,
    spellings,
)

__all__ = [
    "HOT_C",
    "READS_RIGHT_K",
    "Sensor",
    "UnknownSensorError",
    "add_words",
    "amplifier",
    "catalogue",
    "data_sheet_curve",
    "fitted",
    "from_beta",
    "from_letters",
    "from_platinum",
    "from_points",
    "from_shares",
    "hot_c",
    "letters",
    "misread_k",
    "nearest",
    "same_part",
    "sensor",
    "spelled",
    "spellings",
]
