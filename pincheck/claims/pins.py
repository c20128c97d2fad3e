"""Pins as users write them, to chip pins and back."""

import re
from collections.abc import Iterator, Mapping
from functools import cached_property
from itertools import islice

from attrs import evolve, field, frozen

from pincheck.chips import Chip, canonical_by_syntax, canonical_pin, chip
from pincheck.model import limits
from pincheck.model.claim import PinValue, Place, Pull
from pincheck.model.setting import Style
from pincheck.model.wiring import Assembly, Board

_ABSENT = frozenset(("", "-1", "nil", "none"))
_SEPARATORS: dict[Style, re.Pattern[str]] = {
    "define": re.compile(r"(?!)"),
    "section": re.compile(r","),
    "gcode": re.compile(r"[,+]"),
}
_WRITTEN: dict[Style, re.Pattern[str]] = {
    "define": re.compile(r"(?P<prefix>)(?P<chip>)(?P<colon>)(?P<name>.*)", re.DOTALL),
    "section": re.compile(
        r"(?P<prefix>[!^~\s]*)(?:(?P<chip>[^:\s]+)(?P<colon>\s*:\s*))?(?P<name>.*)", re.DOTALL
    ),
    "gcode": re.compile(
        r"(?P<prefix>[!^*\s]*)(?:(?P<chip>\d{1,3})(?P<colon>\.))?(?P<name>.*)", re.DOTALL
    ),
}
_PORT_NUMBER = re.compile(r"P\d(?P<mark>[._])\d", re.IGNORECASE)
_PORT_LETTER = re.compile(r"P[A-Z](?P<mark>[._]?)\d", re.IGNORECASE)
_PULLS: dict[str, Pull] = {"^": "up", "~": "down"}
_MARKS: dict[str, str] = {"up": "^", "down": "~", "none": ""}
_NUMBER = re.compile(r"[DA]\d+")
_GPIO = re.compile(r"\d{1,2}", re.ASCII)
"""Chips whose pins have plain numbers; from 128 on, a shift register's outputs (from memory)."""

_DEEPEST_REFERENCE = 8


@frozen
class Written:
    """One pin taken apart as written: blanks are kept, so that joining gives the text back."""

    prefix: str
    chip: str
    colon: str
    name: str

    @classmethod
    def of(cls, style: Style, text: str) -> "Written":
        """Take `text` apart."""
        match = _WRITTEN[style].fullmatch(text)
        assert match
        return cls(match["prefix"], match["chip"] or "", match["colon"] or "", match["name"])

    @property
    def inverted(self) -> bool:
        """Whether the pin's sense is turned round."""
        return "!" in self.prefix

    @property
    def pull(self) -> Pull:
        """Which resistor of the chip is asked for."""
        return next((pull for mark, pull in _PULLS.items() if mark in self.prefix), "none")

    def __str__(self) -> str:
        return f"{self.prefix}{self.chip}{self.colon}{self.name}"


@frozen
class Piece:
    """One of several pins in a text, at `start` to `end`."""

    text: str
    start: int
    end: int


def pieces(style: Style, text: str, most: int = limits.PINS) -> tuple[Piece, ...]:
    """Return every pin of a list, without surrounding blanks.

    What stands behind `most` pins makes up the last piece, which then names no pin.
    """
    return tuple(_pieces(style, text, most))


def _pieces(style: Style, text: str, most: int) -> Iterator[Piece]:
    at = 0
    ends = [match.start() for match in islice(_SEPARATORS[style].finditer(text), most)]
    for end in (*ends, len(text)):
        bare = text[at:end].strip()
        start = at + text[at:end].index(bare)
        yield Piece(bare, start, start + len(bare))
        at = end + 1


@frozen(slots=False)
class Pins:
    """What pin names mean in one machine.

    `aliases` are the user's own names, by chip as written ("" for the main one) and name.
    `shared` are the user's own names for several pins.
    """

    style: Style
    assembly: Assembly | None = field(default=None, repr=False)
    aliases: Mapping[tuple[str, str], str] = field(factory=dict)
    shared: Mapping[str, str] = field(factory=dict)

    def read(self, text: str, *, analog: bool = False) -> PinValue:
        """Return what one pin means; `analog` for a define-style key that takes input numbers."""
        if text.strip().lower() in _ABSENT:
            return PinValue(text, absent=True)
        written = Written.of(self.style, text)
        if "virtual_endstop" in written.name:
            return PinValue(text, virtual=True)
        board_key, reason = self._board_key(written.chip)
        if reason:
            return PinValue(text, unknown=reason)
        pin, reason = self._pin(board_key, written, analog)
        if pin is None:
            return PinValue(text, unknown=reason)
        return PinValue(text, Place(board_key, pin))

    @cached_property
    def _main(self) -> str:
        return self.assembly.main if self.assembly else ""

    def board(self, key: str) -> Board | None:
        """Return the board that a place names."""
        return self.assembly.boards.get(key) if self.assembly else None

    def _is_main(self, name: str) -> bool:
        return not name or (self.style == "section" and name == "mcu") or name == "0"

    def _board_key(self, name: str) -> tuple[str, str]:
        if self.assembly is None:
            return ("" if self._is_main(name) else name), ""
        if name in self.assembly.chips:
            return self.assembly.chips[name], ""
        if self._is_main(name):
            return self._main, ""
        return "", f"no board of the wiring is bound to the chip name {name!r}"

    def _pin(self, board_key: str, written: Written, analog: bool) -> tuple[str | None, str]:
        board = self.board(board_key)
        name = written.name.strip()
        for _ in range(_DEEPEST_REFERENCE):
            own = self._board_name(board, name, analog) if board else ""
            meant = self._alias(written.chip, name) or own
            if not meant or meant == name:
                break
            name = meant
        if name.startswith("<"):
            return None, f"{written.name!r} is reserved as {name}"
        known = chip(board.chip) if board and board.chip else None
        if known and self.style == "define" and known.naming == "gpio" and _GPIO.fullmatch(name):
            name = f"gpio{name}"
        pin = canonical_pin(known, name, analog=analog) if known else None
        if pin is None:
            pin = canonical_by_syntax(name)
            if pin and known and pin not in known.pins and _NUMBER.fullmatch(pin):
                pin = None
        if pin and board and not known and analog and pin[0] == "D" and _numbered(board, "A"):
            pin = f"A{pin[1:]}"
        if pin and board and not known and _NUMBER.fullmatch(pin) and not _numbered(board, pin[0]):
            return None, f"nobody knows which pin of {board.title} the number {name} means"
        if pin is None:
            whose = f"{board.title} has" if board else "no wiring explains"
            return None, f"{whose} no pin {name!r}" if board else f"{whose} the pin {name!r}"
        return pin, ""

    def _alias(self, chip_name: str, name: str) -> str:
        key = "" if self._is_main(chip_name) else chip_name
        return self.aliases.get((key, name), "")

    def _board_name(self, board: Board, name: str, analog: bool) -> str:
        own = board.pin_names.get(self.style, {})
        if self.style == "define":
            number = own.get(f"A{name}", "") if analog and name.isdecimal() else ""
            return number or board.stock_pins.get(name) or own.get(name, "")
        return own.get(name) or own.get(name.lower(), "")

    # The way back

    def spell(self, value: PinValue, old: str, like: str = "") -> str:
        """Return `value` in the manner of `old` (or of `like`, where `old` is no chip pin).

        Prefixes are those of `old`: `with_prefix` changes them.

        Raises:
            ValueError: there is no way to write it.
        """
        written = Written.of(self.style, old)
        if value.absent:
            return {"define": "-1", "section": "", "gcode": "nil"}[self.style]
        if value.place is None:
            raise ValueError(f"{value.written!r} names no chip pin")
        chip_name, colon = self._chip_name(value.place.board, written)
        name = self._name(value.place, chip_name, written.name.strip(), like)
        new = evolve(written, chip=chip_name, colon=colon, name=name)
        if self.read(str(new)).place != value.place:
            raise ValueError(f"{value.place} cannot be written in the {self.style} style")
        return str(new)

    def _chip_name(self, board_key: str, old: Written) -> tuple[str, str]:
        if self._board_key(old.chip) == (board_key, ""):
            return old.chip, old.colon
        if self.style == "define":
            raise ValueError(f"{board_key} is no board of the define style's own chip")
        if board_key == self._main:
            return "", ""
        bound = self.assembly.chips.items() if self.assembly else ()
        names = (name for name, key in bound if key == board_key)
        name = next((name for name in names if name.isdecimal() == (self.style == "gcode")), "")
        if not name and self.assembly:
            raise ValueError(f"the wiring binds no chip name to the board {board_key!r}")
        return name or board_key, old.colon or (":" if self.style == "section" else ".")

    def _name(self, place: Place, chip_name: str, old: str, like: str) -> str:
        board = self.board(place.board)
        own = dict(board.pin_names.get(self.style, {})) if board else {}
        key = "" if self._is_main(chip_name) else chip_name
        aliases = {name: pin for (of, name), pin in self.aliases.items() if of == key}
        manner = old if canonical_by_syntax(old) or old in own or old in aliases else like
        known = chip(board.chip) if board and board.chip else None
        if manner in aliases:
            tables = (aliases, own)
        elif self.style == "gcode" or manner in own or _is_number(manner):
            tables = (own, {})
        else:
            tables = ({}, {})
        for table in tables:
            for name, pin in table.items():
                if (canonical_by_syntax(pin) or pin) == place.pin:
                    return name
        if number := known and _number(known, place.pin, manner):
            return number
        if self.style == "define" and place.pin.startswith("gpio") and _GPIO.fullmatch(manner):
            return place.pin.removeprefix("gpio")
        return _in_manner(place.pin, manner, self.style)


def with_prefix(style: Style, text: str, inverted: bool, pull: Pull) -> str:
    """Return one pin's text with the prefixes for `inverted` and `pull`, in its own order.

    Raises:
        ValueError: the style has no prefix for it.
    """
    written = Written.of(style, text)
    if (inverted, pull) == (written.inverted, written.pull):
        return text
    if style == "define" or (style == "gcode" and pull == "down"):
        raise ValueError(f"the {style} style has no prefix for that")
    mark = _MARKS[pull]
    first_inverted = written.prefix.lstrip().startswith("!") and written.pull != "none"
    marks = ("!" * inverted + mark) if first_inverted else (mark + "!" * inverted)
    return str(evolve(written, prefix=marks))


def _numbered(board: Board, kind: str) -> bool:
    """Return whether a board's own description names its chip's pins by numbers of this kind."""
    drivers = (driver.step_pin for driver in board.drivers.values())
    own = (*(net.chip_pin for net in board.nets.values()), *drivers)
    return any((canonical_by_syntax(pin) or "").startswith(kind) for pin in own if pin)


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
        wanted = old["mark"] if old else ("_" if style == "define" else ".")
        port, number = pin.split(".")
        # Headers of the define style know these pins by two digits alone: P2_04.
        pin = f"{port}{wanted}{number.zfill(2) if style == 'define' else number}"
    elif _PORT_LETTER.match(pin):
        old = _PORT_LETTER.match(manner)
        pin = pin[:2] + (old["mark"] if old else "") + pin[2:]
    return (
        pin.lower() if manner and manner == manner.lower() and re.search("[a-z]", manner) else pin
    )
