"""The compact text that chip data files hold for pins.

A chip's pins are listed as ranges (`PA0-15 PC13-15`). What pins can do is a list of entries
separated by `;`, each a pin name and its functions:
`PA0 ADC1:0 TIM2:1 TIM8:1N debug` reads converter `ADC1` channel 0, timer `TIM2` channel 1,
`TIM8` channel 1 complementary, and a special word.
"""

import re
from collections.abc import Iterator, Mapping

from pincheck.chips.model import ChipPin, ConverterChannel, TimerChannel

_RANGE = re.compile(r"(.*?)(\d+)(?:-(\d+))?")
_CONVERTER = re.compile(r"A(?:DC|FEC)\d*")


def expand(ranges: str) -> Iterator[str]:
    """Yield every pin of `PA0-15 PC13`.

    Raises:
        ValueError: a word of `ranges` is no pin and no range of pins.
    """
    for word in ranges.split():
        match = _RANGE.fullmatch(word)
        if not match:
            raise ValueError(f"{word!r} is no range of pins")
        stem, first, last = match[1], int(match[2]), int(match[3] or match[2])
        yield from (f"{stem}{number}" for number in range(first, last + 1))


def functions(text: str) -> dict[str, str]:
    """Return the functions of each pin named in `text`, as text."""
    entries = (entry.strip().partition(" ") for entry in text.split(";"))
    return {pin: rest for pin, _, rest in entries if pin}


def unite(into: dict[str, str], other: Mapping[str, str]) -> None:
    """Add the pins of `other`, and the functions its pins have beyond those known."""
    for pin, text in other.items():
        into[pin] = " ".join(dict.fromkeys([*into.get(pin, "").split(), *text.split()]))


def parse(name: str, text: str) -> ChipPin:
    """Return the pin that `text` describes.

    Raises:
        ValueError: a converter's channel is no number.
    """
    converters: list[ConverterChannel] = []
    timers: list[TimerChannel] = []
    special: list[str] = []
    for word in text.split():
        unit, _, channel = word.partition(":")
        if not channel:
            special.append(word)
        elif _CONVERTER.fullmatch(unit):
            converters.append(ConverterChannel(unit, int(channel)))
        else:
            bare = channel.removesuffix("N")
            timers.append(TimerChannel(unit, bare, complementary=bare != channel))
    return ChipPin(name, tuple(converters), tuple(timers), tuple(special))
