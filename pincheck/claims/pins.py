"""Pins as users write them, to chip pins."""

import re
from collections.abc import Mapping
from functools import cached_property

from attrs import field

from pincheck.chips import canonical_by_syntax, canonical_pin, chip
from pincheck.model.claim import PinValue, Place
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly, Board
from pincheck.styles import Style
from pincheck.styles.pins import Written

_ABSENT = frozenset(("", "-1", "nil", "none"))
_NUMBER = re.compile(r"[DA]\d+")
GPIO = re.compile(r"\d{1,2}", re.ASCII)
"""Chips whose pins have plain numbers; from 128 on, a shift register's outputs (from memory)."""

_DEEPEST_REFERENCE = 8


@frozen(slots=False)
class Pins:
    """What pin names mean in one machine.

    `aliases` are the user's own names, by chip as written ("" for the main one) and name.
    `shared` are the user's own names for several pins.
    """

    style: Style
    assembly: Assembly | None = field(default=None)
    aliases: Mapping[tuple[str, str], str] = field(factory=dict)
    shared: Mapping[str, str] = field(factory=dict)

    def read(self, text: str, *, analog: bool = False) -> PinValue:
        """Return what one pin means; `analog` for a key that takes input numbers."""
        if text.strip().lower() in _ABSENT:
            return PinValue(text, absent=True)
        written = self.style.parted(text)
        if "virtual_endstop" in written.name:
            return PinValue(text, virtual=True)
        board_key, reason = self.board_key(written.chip)
        if reason:
            return PinValue(text, unknown=reason)
        return self._pin(text, board_key, written, analog)

    @cached_property
    def main(self) -> str:
        """The key of the main board, empty without an assembly."""
        return self.assembly.main if self.assembly else ""

    def board(self, key: str) -> Board | None:
        """Return the board that a place names."""
        return self.assembly.boards.get(key) if self.assembly else None

    def is_main(self, name: str) -> bool:
        """Return whether a chip's name as written is the main chip's."""
        return not name or name in self.style.main_chips

    def board_key(self, name: str) -> tuple[str, str]:
        """Return the board that a chip's name means, else why none is known."""
        if self.assembly is None:
            return ("" if self.is_main(name) else name), ""
        if name in self.assembly.chips:
            return self.assembly.chips[name], ""
        if self.is_main(name):
            return self.main, ""
        return "", f"no board of the wiring is bound to the chip name {name!r}"

    def _pin(self, text: str, board_key: str, written: Written, analog: bool) -> PinValue:
        board = self.board(board_key)
        name = written.name.strip()
        for _ in range(_DEEPEST_REFERENCE):
            own = self._board_name(board, name, analog) if board else ""
            meant = self._alias(written.chip, name) or own
            if not meant or meant == name:
                break
            name = meant
        if name.startswith("<"):
            return PinValue(text, unknown=f"{written.name!r} is reserved as {name}")
        known = chip(board.chip) if board and board.chip else None
        if known and self.style.bare_gpio and known.naming == "gpio" and GPIO.fullmatch(name):
            name = f"gpio{name}"
        pin = canonical_pin(known, name, analog=analog) if known else None
        if pin is None:
            pin = canonical_by_syntax(name)
            if pin and known and pin not in known.pins and _NUMBER.fullmatch(pin):
                pin = None
        if pin and board and not known and analog and pin[0] == "D" and _numbered(board, "A"):
            pin = f"A{pin[1:]}"
        if pin and board and not known and _NUMBER.fullmatch(pin) and not _numbered(board, pin[0]):
            reason = f"nobody knows which pin of {board.title} the number {name} means"
            return PinValue(text, unknown=reason)
        if pin is None:
            if board is None:
                return PinValue(text, unknown=f"no wiring explains the pin {name!r}")
            # Names of headers that were not sent are not wrong, and without a list none is.
            listed = bool(board.pin_names.get(self.style.name)) or self.style.in_capitals
            misnamed = listed and not self.style.board_header
            reason = f"{board.title} has no pin {name!r}"
            if not listed and not self.style.board_header:
                reason += f"; its file gives no names: [pin_names.{self.style.name}]"
            return PinValue(text, unknown=reason, misnamed=misnamed)
        return PinValue(text, Place(board_key, pin), misnamed=self._in_small(name, pin))

    def _in_small(self, name: str, pin: str) -> bool:
        """Return whether a chip's own name of a pin is written in the wrong case."""
        if not self.style.in_capitals or pin.startswith("gpio"):
            return self.style.in_capitals and not name.startswith("gpio")
        return name[0].upper() == pin[0] and name.upper() != name

    def _alias(self, chip_name: str, name: str) -> str:
        key = "" if self.is_main(chip_name) else chip_name
        return self.aliases.get((key, name), "")

    def _board_name(self, board: Board, name: str, analog: bool) -> str:
        own = board.pin_names.get(self.style.name, {})
        if self.style.board_header:
            channel = analog and name.isdecimal()
            number = own.get(f"A{name}", "") if channel else ""
            if channel and (known := chip(board.chip)) and known.family == "avr":
                return number  # whatever pin the board gives that number elsewhere
            return number or board.stock_pins.get(name) or own.get(name, "")
        if self.style.pins_any_case:
            return {known.lower(): pin for known, pin in own.items()}.get(name.lower(), "")
        return own.get(name) or own.get(name.lower(), "")


def _numbered(board: Board, kind: str) -> bool:
    """Return whether a board's own description names its chip's pins by numbers of this kind."""
    drivers = (driver.step_pin for driver in board.drivers.values())
    own = (*(net.chip_pin for net in board.nets.values()), *drivers)
    return any((canonical_by_syntax(pin) or "").startswith(kind) for pin in own if pin)
