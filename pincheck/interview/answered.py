"""What a typed answer means: a text, a number, a choice, pins of a socket, a part, a chip."""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from pincheck.chips import Chip, canonical_by_syntax, canonical_pin, chip
from pincheck.interview.dialogue import UNKNOWN, NoAnswerError, Take
from pincheck.model.nearest import nearest
from pincheck.model.problem import UnreadableError
from pincheck.model.wiring import Board, Part
from pincheck.reports.catalogue import chips_holding, parts_holding
from pincheck.toml.table import Field
from pincheck.wiring import load_board
from pincheck.wiring.board import volts_by_name

_SHOWN = 12
_NAME = "letters, digits, _ and - make a name"


def text(words: str) -> Take[str]:
    """Take any text; unknown becomes `words`."""

    def take(typed: str) -> tuple[str, str]:
        if not typed or "\0" in typed:
            raise NoAnswerError("Type a name, or ? for none.")
        return (words if typed == UNKNOWN else typed), typed

    return take


def maybe(typed: str) -> tuple[str, str]:
    """Take any text; nothing and unknown are empty."""
    if "\0" in typed:
        raise NoAnswerError("Type plain text, or Enter for none.")
    return ("" if typed == UNKNOWN else typed), typed


def pin_names(chip_of_board: str) -> Take[dict[str, str]]:
    """Take the board's own names for chip pins, `e0heat=PC8 bed=PA8`; nothing means none."""
    known = chip(chip_of_board) if chip_of_board else None

    def take(typed: str) -> tuple[dict[str, str], str]:
        found = dict[str, str]()
        for word in "" if typed == UNKNOWN else typed.replace(",", " ").split():
            own, _, pin = word.partition("=")
            if not own or not _pin(known, pin):
                raise NoAnswerError(f"{word} gives no pin of the chip a name: NAME=PIN.")
            found[own] = _pin(known, pin)
        return found, typed

    return take


def name(taken: Iterable[str]) -> Take[str]:
    """Take a new name of a socket, or nothing for no more; unknown counts as no more."""

    def take(typed: str) -> tuple[str, str]:
        if typed in ("", UNKNOWN):
            return "", ""
        if not typed.replace("_", "").replace("-", "").isalnum():
            raise NoAnswerError(f"{_NAME}.")
        if typed in taken:
            raise NoAnswerError(f"{typed} is described already.")
        return typed, typed

    return take


def number(field: Field) -> Take[float | None]:
    """Take a number within the range of a key of the wiring; unknown is None."""

    def take(typed: str) -> tuple[float | None, str]:
        if typed in ("", UNKNOWN):
            return None, UNKNOWN
        try:
            value = float(typed.split()[0].replace(",", "."))
        except ValueError:
            raise NoAnswerError(f"Expected {field.expected}, or ?.") from None
        if not field.low <= value <= field.high:
            raise NoAnswerError(f"Expected {field.expected}, or ?.")
        return value, typed

    return take


def choice(*words: str, empty: str = "") -> Take[str]:
    """Take one of some words, or its first letter; nothing means `empty`, unknown is empty."""

    def take(typed: str) -> tuple[str, str]:
        if typed == UNKNOWN:
            return "", UNKNOWN
        typed = typed or empty
        found = [word for word in words if word == typed or word[0] == typed]
        if len(found) != 1:
            raise NoAnswerError(f"Answer {', '.join(words)} or ?.")
        return found[0], found[0]

    return take


def board_file(start: Path) -> Take[tuple[Path, Board] | None]:
    """Take the path of a board's file, or nothing where the board is to be described."""

    def take(typed: str) -> tuple[tuple[Path, Board] | None, str]:
        if typed in ("", UNKNOWN):
            return None, ""
        path = (start / Path(typed).expanduser()).resolve()
        try:
            return (path, load_board(path)), str(path)
        except UnreadableError as error:
            raise NoAnswerError(*(str(problem) for problem in error.problems[:_SHOWN])) from None

    return take


def chip_name(typed: str) -> tuple[str, str]:
    """Take a chip's order code; other words list the chips that hold them; unknown is empty."""
    if typed == UNKNOWN:
        return "", UNKNOWN
    if typed and (found := chip(typed)):
        return found.name, found.name
    near = [it.name for it in chips_holding(typed.split())] if typed else []
    if not near:
        raise NoAnswerError("No known chip is called so. Type a part of its name, or ?.")
    raise NoAnswerError(f"Which one: {_listed(near)}?")


def part(parts: Sequence[Part], kinds: Sequence[str]) -> Take[Part | str]:
    """Take a part's id, or nothing for none fitted (empty), or unknown.

    Other words list the parts that hold them, and a number then takes one of the list: nothing
    is chosen for the user.
    """
    fitting = [it for it in parts if it.kind in kinds]
    shown = list[Part]()

    def take(typed: str) -> tuple[Part | str, str]:
        if typed in ("", UNKNOWN):
            return typed, typed
        if exact := next((it for it in fitting if it.id == typed), None):
            return exact, exact.id
        if typed.isdecimal() and 1 <= int(typed) <= len(shown):
            return shown[int(typed) - 1], shown[int(typed) - 1].id
        found = parts_holding(typed.split(), fitting)
        shown[:] = found or fitting
        raise NoAnswerError(
            *([] if found else ["No such part holds all of that. There are:"]),
            *(f"{n:>2}  {it.id:<26} {it.title}" for n, it in enumerate(shown, 1)),
            "Its number, or other words?",
        )

    return take


def _listed(names: Sequence[str]) -> str:
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return ", ".join(names[:_SHOWN]) + more


def is_rail(net: str) -> bool:
    """Return whether a net's name is that of a supply or ground."""
    return volts_by_name(net, 24.0) is not None


def main_pins(chip_of_board: str) -> Take[tuple[str, ...]]:
    """Take what a mainboard's socket carries: rails, chip pins, ends of coils, - and ?."""
    known = chip(chip_of_board) if chip_of_board else None

    def one(word: str) -> str:
        if word in ("-", UNKNOWN) or is_rail(word) or _is_coil(word):
            return word
        pin = _pin(known, word)
        if pin:
            return pin
        near = nearest(word, known.pins) if known else ""
        hint = f" Did you mean {near}?" if near else ""
        raise NoAnswerError(
            f"{word} is no pin of the chip, no supply such as 24V or GND, no end of a motor's "
            f"coil such as X_1A.{hint}"
        )

    return _words(one)


def _pin(known: Chip | None, word: str) -> str:
    if known is None:
        return canonical_by_syntax(word) or ""
    pin = canonical_pin(known, word)
    return pin if pin and pin in known.pins else ""


def chip_pin(chip_of_board: str, taken: Iterable[str]) -> Take[str]:
    """Take one pin of the chip that nothing has yet; unknown is empty."""
    known = chip(chip_of_board) if chip_of_board else None

    def take(typed: str) -> tuple[str, str]:
        if typed in ("", UNKNOWN):
            return "", UNKNOWN
        pin = _pin(known, typed)
        if not pin:
            raise NoAnswerError(f"{typed} is no pin of the chip.")
        if pin in taken:
            raise NoAnswerError(f"{pin} leads to a socket already.")
        return pin, pin

    return take


def tool_pins(link: Sequence[str]) -> Take[tuple[str, ...]]:
    """Take what a breakout's socket carries: rails, nets of its plug to the mainboard, - and ?."""

    def one(word: str) -> str:
        if word in ("-", UNKNOWN) or not link or is_rail(word) or word in link:
            return word
        near = nearest(word, link)
        hint = f" Did you mean {near}?" if near else ""
        raise NoAnswerError(f"{word} comes over no pin of the cable.{hint}")

    return _words(one)


def _words(one: Callable[[str], str]) -> Take[tuple[str, ...]]:
    def take(typed: str) -> tuple[tuple[str, ...], str]:
        words = typed.replace(",", " ").split()
        if not words or "\0" in typed:
            raise NoAnswerError("Type a word for each pin; - for an empty one, ? if not known.")
        pins = tuple(map(one, words))
        return pins, " ".join(pins)

    return take


def _is_coil(word: str) -> bool:
    return coil_driver(word) != ""


def coil_driver(word: str) -> str:
    """Return the driver in the name of a coil's end, `X` of `X_1A`; empty where it is none."""
    driver, _, end = word.rpartition("_")
    return driver if end.upper() in ("1A", "1B", "2A", "2B") else ""


def socket(sockets: Iterable[str], empty: str = "") -> Take[str]:
    """Take a known `board.socket`, or `socket` alone; nothing means `empty`; unknown is empty."""
    known = tuple(sockets)

    def take(typed: str) -> tuple[str, str]:
        typed = typed or empty
        if typed in ("", UNKNOWN):
            return "", UNKNOWN
        ends = [it for it in known if it == typed or it.partition(".")[2] == typed]
        if len(ends) == 1:
            return ends[0], ends[0]
        near = nearest(typed, known)
        hint = f"Did you mean {near}?" if near else f"There are {_listed(known)}."
        raise NoAnswerError(f"There is no socket {typed}. {hint}")

    return take


def order(terminals: Sequence[str], count: int, taken: set[int]) -> Take[tuple[int, ...]]:
    """Take a free pin of the socket for each terminal; nothing means in order; unknown is empty."""

    def take(typed: str) -> tuple[tuple[int, ...], str]:
        if typed == UNKNOWN:
            return (), UNKNOWN
        words = typed.split() or [str(n) for n in range(1, len(terminals) + 1)]
        pins = tuple(int(it) for it in words if it.isdecimal() and 1 <= int(it) <= count)
        if len(pins) != len(terminals) or len(words) != len(pins) or len(set(pins)) != len(pins):
            raise NoAnswerError(f"Give {len(terminals)} different pins from 1 to {count}, or ?.")
        if held := taken.intersection(pins):
            raise NoAnswerError(f"Pin {min(held)} has another part already.")
        return pins, " ".join(words)

    return take


def pairs(lengths: tuple[int, int]) -> Take[str | list[list[int]]]:
    """Take how a cable joins its ends; unknown is empty."""

    def take(typed: str) -> tuple[str | list[list[int]], str]:
        typed = typed or "straight"
        if typed == UNKNOWN:
            return "", UNKNOWN
        if typed in ("straight", "mirrored"):
            if lengths[0] != lengths[1]:
                raise NoAnswerError(f"One end has {lengths[0]} pins, the other {lengths[1]}.")
            return typed, typed
        found = [it.split("-") for it in typed.replace(",", " ").split()]
        if not all(len(it) == 2 and all(end.isdecimal() for end in it) for it in found):
            raise NoAnswerError("Answer straight, mirrored, pairs such as 1-2 2-1, or ?.")
        joined = [[int(end) for end in it] for it in found]
        for side in (0, 1):
            ends = [pair[side] for pair in joined]
            if len(set(ends)) != len(ends) or not all(1 <= end <= lengths[side] for end in ends):
                raise NoAnswerError(f"Each pin once, from 1 to {lengths[0]} and {lengths[1]}.")
        return joined, typed

    return take
