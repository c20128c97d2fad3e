"""A sensor behind an amplifier, read as if something else were at the chip's pin."""

from pincheck.model.path import Wired
from pincheck.sensors import Sensor, amplifier

_ONE_NUMBER = {"converter-k", "converter-thermocouple"}


def other_amplifier(wired: Wired, assumed: Sensor | None, written: str) -> Sensor | None:
    """Return the amplifier that a part is read through, where the firmware expects another end.

    Two converters for thermocouples are not told apart by a number: older releases have one for
    both, and another key that says which (from memory).
    """
    through = amplifier(wired.path.amplifier)
    if through is None or assumed is None or assumed.kind == "none":
        return None
    known = assumed.chips or assumed.curve or assumed.amplifier
    same = assumed.id == through.id or through.id in assumed.interchangeable
    either = {assumed.id, through.id} == _ONE_NUMBER and written.lstrip("-").isdigit()
    return through if known and not (same or either) else None
