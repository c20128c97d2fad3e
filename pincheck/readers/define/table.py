"""What each macro means at a point of the evaluation, under the conditions that hold there."""

from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

from pincheck.model import limits
from pincheck.readers.define.lines import DefineLine


class Branch(NamedTuple):
    """One branch that may be taken: its conditional, which branch of it, and the condition."""

    conditional: int
    number: int
    text: str


Context = tuple[Branch, ...]
"""The branches around a line that nobody can decide, outermost first."""


class MacroState(Enum):
    """What is known of a name that is not certainly defined."""

    OFF = "certainly not defined: the files define it elsewhere, later, or commented out"
    POSSIBLE = "defined or not, by a condition that nobody can decide"
    UNHEARD = "no file says a word of it"


class Meaning(NamedTuple):
    """One define (None for an `#undef`) that may still count, and where it stands."""

    row: int
    define: DefineLine | None
    context: Context


_ANYTHING: Context = (Branch(0, 0, ""),)
"""Stands for conditions that are no longer told apart."""


def exclude(one: Context, other: Context) -> bool:
    """Return whether the two can never hold together."""
    for mine, theirs in zip(one, other, strict=False):
        if mine != theirs:
            return mine.conditional == theirs.conditional
    return False


class Table:
    """Every macro with the meanings it may have, the latest last.

    `mentioned` are the names that some file defines somewhere, commented out or not. With
    `all_pins` the board's own pins header is among the files, so that no other sets a pin.
    """

    def __init__(self, mentioned: set[str], all_pins: bool = False) -> None:
        self.mentioned = mentioned
        self.all_pins = all_pins
        self.meanings: dict[str, list[Meaning]] = {}

    def set(self, name: str, meaning: Meaning) -> Sequence[int]:
        """Add a meaning; return the rows that it certainly puts out of force."""
        if name not in self.meanings:
            self.meanings[name] = [meaning]
            return ()
        context = meaning.context
        kept: list[Meaning] = []
        lost: list[Meaning] = []
        for earlier in self.meanings[name]:
            covered = earlier.context[: len(context)] == context
            (lost if covered else kept).append(earlier)
        if len(kept) > limits.DEFINE_MEANINGS:
            kept = [Meaning(-1, None, _ANYTHING), *kept[2:]]
        self.meanings[name] = [*kept, meaning]
        return [earlier.row for earlier in lost if earlier.define]

    def look(self, name: str, context: Context) -> DefineLine | MacroState:
        """Return what a name means where `context` holds."""
        for meaning in reversed(self.meanings.get(name, ())):
            if not meaning.context or context[: len(meaning.context)] == meaning.context:
                return meaning.define or MacroState.OFF
            if not exclude(meaning.context, context):
                return MacroState.POSSIBLE
        told = name in self.mentioned or (self.all_pins and name.endswith("_PIN"))
        return MacroState.OFF if told else MacroState.UNHEARD

    def rivals(self, row: int, define: DefineLine, context: Context) -> list[Context]:
        """Return the contexts of later meanings that may put a define out of force."""
        meanings = self.meanings.get(define.name, ())
        return [
            meaning.context
            for meaning in meanings
            if meaning.row > row and not exclude(meaning.context, context)
        ]
