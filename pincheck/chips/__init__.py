"""Facts of microcontrollers: which pins exist, what they can do, what they stand."""

from pincheck.chips.device_data import canonical, chip, known_chips, suggestions
from pincheck.chips.model import (
    SPECIAL_WORDS,
    Basis,
    BootLevel,
    Chip,
    ChipPin,
    ConverterChannel,
    Levels,
    Timer,
    TimerChannel,
)
from pincheck.chips.spelling import canonical_by_syntax, canonical_pin

__all__ = [
    "SPECIAL_WORDS",
    "Basis",
    "BootLevel",
    "Chip",
    "ChipPin",
    "ConverterChannel",
    "Levels",
    "Timer",
    "TimerChannel",
    "canonical",
    "canonical_by_syntax",
    "canonical_pin",
    "chip",
    "known_chips",
    "suggestions",
]
