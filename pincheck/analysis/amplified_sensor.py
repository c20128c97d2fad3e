"""A sensor behind an amplifier, read as if something else were at the chip's pin."""

from pincheck.model.path import Wired
from pincheck.sensors import Sensor, amplifier, same_part


def other_amplifier(wired: Wired, assumed: Sensor | None) -> Sensor | None:
    """Return the amplifier that a part is read through, where the firmware expects another end.

    Two digital converters are not told apart: some words stand for either.
    """
    through = amplifier(wired.path.amplifier)
    if through is None or assumed is None or assumed.kind == "none":
        return None
    analog = through.amplifier or assumed.amplifier
    return through if analog and not same_part(assumed.id, through.id) else None
