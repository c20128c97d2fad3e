"""Importing this readies a process for any submission; forked workers start from there."""

from pincheck.batch import examine
from pincheck.claims import claims
from pincheck.intake import gather_bytes, machines, read
from pincheck.rules.registry import rules

_SMALLEST = (
    b"#define MOTHERBOARD BOARD\n#define TEMP_SENSOR_0 1\n",
    b"[printer]\nkinematics: none\n[extruder]\nsensor_type: Generic 3950\n",
    b'M308 S0 P"temp0" Y"thermistor" T100000 B3950\nM950 H0 C"heat" T0\n',
)


def _ready() -> None:
    rules()
    for text in _SMALLEST:
        for machine in machines(gather_bytes("warm", text))[0]:
            claims(read(machine), None)


_ready()

__all__ = ["examine"]
