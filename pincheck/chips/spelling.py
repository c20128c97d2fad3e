"""One spelling for each pin, whatever way users write it."""

import re
from functools import lru_cache

from pincheck.chips.model import Chip, Naming

_FORMS: tuple[tuple[Naming | str, re.Pattern[str], str], ...] = tuple(
    (kind, re.compile(pattern, re.ASCII | re.IGNORECASE), shape)
    for kind, pattern, shape in (
        # the H7 parts call the pad behind an analog switch PC2_C; the port bit is PC2
        ("port-letter", r"P(?P<port>[A-Z])[_.]?(?P<pin>\d{1,2})(?:_C)?", "P{port}{pin}"),
        ("port-number", r"P(?P<port>\d)[_.](?P<pin>\d{1,2})(?:_A\d)?", "P{port}.{pin}"),
        ("gpio", r"GPIO_?(?P<pin>\d{1,2})", "gpio{pin}"),
        ("digital", r"(?:D|AR|DIGITAL)?(?P<pin>\d{1,3})", "D{pin}"),
        ("analog", r"(?:A|ANALOG)(?P<pin>\d{1,2})", "A{pin}"),
    )
)


def canonical_by_syntax(text: str) -> str | None:
    """Return the canonical spelling of a pin on a chip that is not known; None if it is none.

    `PA1`, `P1.23` and `gpio12` are final. Plain numbers and their like come to `D12`, analog
    numbers to `A1`: two of the same kind can be compared, two of different kinds cannot, because
    only the chip says whether they are one pin. Prefixes and a chip's name before a colon are
    not taken: the caller has read them.
    """
    form = _form(text)
    return form[1] if form else None


def canonical_pin(chip: Chip, text: str, *, analog: bool = False) -> str | None:
    """Return the canonical spelling of a pin of this chip; None if it is not in its way of naming.

    The pin need not exist: `canonical_pin(chip, text) in chip.pins` tells. Plain, `ar` and `D`
    numbers and `analog` numbers mean something on chips with a usual numbering; a number beyond
    every pin of such a chip stays `D120`. With `analog`, a bare number is an analog
    input's where the chip has that many, as in the keys of sensors in the define style; an 8-bit
    chip takes it for nothing else.
    """
    form = _form(text)
    if not form:
        return None
    kind, spelling = form
    if kind == chip.naming:
        return spelling
    if kind not in ("digital", "analog"):
        return None
    number = int(spelling[1:])
    bare = text.strip().isdigit()
    numbers = chip.analog_numbers if kind == "analog" else chip.digital_numbers
    if analog and bare and number < len(chip.analog_numbers):
        numbers = chip.analog_numbers
    if analog and bare and chip.family == "avr" and number >= len(chip.analog_numbers):
        return f"A{number}"
    if number < len(numbers):
        return numbers[number]
    # Headers number some pins beyond the usual ones, but never more than there are.
    beyond = kind == "digital" and bool(numbers) and number >= len(chip.pins)
    return spelling if beyond and not analog else None


@lru_cache(maxsize=1024)  # a machine names few pins, each of them often
def _form(text: str) -> tuple[str, str] | None:
    for kind, pattern, shape in _FORMS:
        if match := pattern.fullmatch(text.strip()):
            named = match.groupdict()
            return kind, shape.format(port=named.get("port", "").upper(), pin=int(named["pin"]))
    return None
