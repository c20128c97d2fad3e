"""Chip pins to the user's own spelling."""

import re

from attrs import evolve

from pincheck.chips import Chip, canonical_by_syntax, chip
from pincheck.claims.pins import GPIO, Pins
from pincheck.model.claim import PinValue, Place
from pincheck.styles import Style
from pincheck.styles.pins import Written

_PORT_NUMBER = re.compile(r"P\d(?P<mark>[._])\d", re.IGNORECASE)
_PORT_LETTER = re.compile(r"P[A-Z](?P<mark>[._]?)\d", re.IGNORECASE)


def spell(pins: Pins, value: PinValue, old: str, like: str = "", *, analog: bool = False) -> str:
    """Return `value` in the manner of `old` (or of `like`, where `old` is no chip pin).

    Prefixes are those of `old`: `PinText.prefixed` changes them. `analog` is of a key that takes
    input numbers: an 8-bit board's headers know a sensor by its channel.

    Raises:
        ValueError: there is no way to write it.
    """
    written = pins.style.parted(old)
    if value.absent:
        return pins.style.absent
    if value.place is None:
        raise ValueError(f"{value.written!r} names no chip pin")
    chip_name, colon = _chip_name(pins, value.place.board, written)
    name = _channel(pins, value.place) if analog and pins.style.one_chip else ""
    name = name or _name(pins, value.place, chip_name, written.name.strip(), like)
    new = evolve(written, chip=chip_name, colon=colon, name=name)
    if pins.read(str(new), analog=analog).place != value.place:
        raise ValueError(f"{value.place} cannot be written in the {pins.style.name} style")
    return str(new)


def _chip_name(pins: Pins, board_key: str, old: Written) -> tuple[str, str]:
    if pins.board_key(old.chip) == (board_key, ""):
        return old.chip, old.colon
    style = pins.style
    if style.one_chip:
        raise ValueError(f"{board_key} is no board of the {style.name} style's own chip")
    if board_key == pins.main:
        return "", ""
    bound = pins.assembly.chips.items() if pins.assembly else ()
    names = (name for name, key in bound if key == board_key)
    name = next((name for name in names if name.isdecimal() == style.numbered), "")
    if not name and pins.assembly:
        raise ValueError(
            f"the wiring binds no chip name to the board {board_key!r}: add one under [chips]"
        )
    return name or board_key, old.colon or style.chip_colon


def _channel(pins: Pins, place: Place) -> str:
    """Return the converter's channel that an 8-bit board's pin is, empty for any other."""
    board = pins.board(place.board)
    known = chip(board.chip) if board and board.chip else None
    if known is None or known.family != "avr" or place.pin not in known.analog_numbers:
        return ""
    return str(known.analog_numbers.index(place.pin))


def _name(pins: Pins, place: Place, chip_name: str, old: str, like: str) -> str:
    board = pins.board(place.board)
    style = pins.style
    own = dict(board.pin_names.get(style.name, {})) if board else {}
    key = "" if pins.is_main(chip_name) else chip_name
    aliases = {name: pin for (of, name), pin in pins.aliases.items() if of == key}
    manner = old if canonical_by_syntax(old) or old in own or old in aliases else like
    known = chip(board.chip) if board and board.chip else None
    if known and known.family == "avr" and style.one_chip and not canonical_by_syntax(manner):
        manner = "0"  # the headers of 8-bit boards know their pins by numbers alone
    if manner in aliases:
        tables = (aliases, own)
    elif style.board_names_first or manner in own or _is_number(manner):
        tables = (own, {})
    else:
        tables = ({}, {})
    for table in tables:
        for name, pin in table.items():
            if (canonical_by_syntax(pin) or pin) == place.pin:
                return name
    if number := known and _number(known, place.pin, manner):
        return number
    if style.bare_gpio and place.pin.startswith("gpio") and GPIO.fullmatch(manner):
        return place.pin.removeprefix("gpio")
    return _in_manner(place.pin, manner, style)


def _is_number(text: str) -> bool:
    return bool(re.fullmatch(r"(?:ar|analog)?\d+", text, re.IGNORECASE))


def _number(known: Chip, pin: str, manner: str) -> str:
    """Return a pin's plain number on a chip that has a usual numbering, else nothing."""
    if not _is_number(manner) or pin not in known.digital_numbers:
        return ""
    letters = re.sub(r"\d", "", manner)
    if letters.lower() == "analog":
        letters = letters.lower()
        in_analog = pin in known.analog_numbers
        return f"{letters}{known.analog_numbers.index(pin)}" if in_analog else ""
    return f"{letters}{known.digital_numbers.index(pin)}"


def _in_manner(pin: str, manner: str, style: Style) -> str:
    mark = _PORT_NUMBER.match(pin)
    if mark:
        old = _PORT_NUMBER.match(manner)
        wanted = old["mark"] if old else style.port_mark
        port, number = pin.split(".")
        pin = f"{port}{wanted}{number.zfill(style.port_digits)}"
    elif _PORT_LETTER.match(pin):
        old = _PORT_LETTER.match(manner)
        pin = pin[:2] + (old["mark"] if old else "") + pin[2:]
    small = manner == manner.lower() and re.search("[a-z]", manner) and not style.in_capitals
    return pin.lower() if small else pin
