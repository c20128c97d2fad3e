"""What the variables of a script stand for, and what its words come to."""

import re
from collections import ChainMap
from collections.abc import Iterable

from attrs import define

from pincheck.model import limits
from pincheck.readers.gcode import expression
from pincheck.readers.gcode.command_words import CommandWord
from pincheck.readers.gcode.expression import Evaluated, NotKnown, Scope, Unreadable, as_text
from pincheck.readers.mistakes import Mistake, Mistakes

_VARIABLE = re.compile(r"(?:var|global|param)\.\w+")
_PART = re.compile(r'\{(?:[^{}"]|"(?:[^"]|"")*"|\{[^{}]*\})*+\}|[^{}:]+')


@define
class Budget:
    """How much more of the expressions of one machine is worked out."""

    left: int = limits.EXPRESSIONS_CHARS

    def affords(self, text: str) -> bool:
        """Return whether one more expression may be worked out, which is then counted."""
        most = limits.EXPRESSION_CHARS
        self.left -= max(limits.EXPRESSION_LEAST, min(len(text), most))
        return self.left >= 0


@define
class Values:
    """The variables that one run of a script sees, its own before those of all scripts.

    `complete` is whether no script that may have set more of them ran unseen.
    """

    text: str
    mistakes: Mistakes
    shared: dict[str, Evaluated]
    own: dict[str, Evaluated]
    budget: Budget
    complete: bool = True

    def store(self, name: str, value: Evaluated) -> None:
        """Let a variable stand for a value from here on."""
        (self.shared if name.startswith("global.") else self.own)[name] = value

    def forget(self, names: Iterable[str]) -> None:
        """Drop the script's own variables whose block has ended."""
        for name in names:
            self.own.pop(name, None)

    def evaluate(self, text: str, at: int) -> Evaluated:
        """Return what the expression at offset `at` comes to; a mistake in it is noted."""
        if not self.budget.affords(text):
            return NotKnown("there are more expressions than are worked out")
        value = expression.evaluate(text, Scope(ChainMap(self.own, self.shared), self.complete))
        if isinstance(value, Unreadable):
            message = "the expression cannot be read"
            place, end = at + value.at, at + len(text)
            self.mistakes.add(place, end, Mistake(0, message, value.expected))
            return NotKnown(message)
        return value

    def resolve(self, word: CommandWord) -> str | NotKnown:
        """Return a word's value as a constant would spell it."""
        written = self.text[word.value_start : word.value_end]
        if word.form == "quoted":
            return written.replace('""', '"')
        if word.form == "bare" and _VARIABLE.fullmatch(written):
            return self._spelt(written, word.value_start)
        if word.form != "expression":
            return written
        parts = list(_PART.finditer(written))
        if ":".join(part[0] for part in parts) != written:
            return NotKnown("the value mixes text and expressions")
        values = [
            self._spelt(part[0], word.value_start + part.start()) if part[0][0] == "{" else part[0]
            for part in parts
        ]
        unknown = next((value for value in values if isinstance(value, NotKnown)), None)
        return unknown or ":".join(value for value in values if isinstance(value, str))

    def parameter(self, word: CommandWord) -> Evaluated:
        """Return what a called script sees of a word of the call."""
        value = self.resolve(word)
        if word.form == "quoted" or isinstance(value, NotKnown) or not self.budget.affords(value):
            return value
        number = expression.evaluate(value, Scope({}))
        return value if isinstance(number, NotKnown | Unreadable) else number

    def _spelt(self, text: str, at: int) -> str | NotKnown:
        value = self.evaluate(text, at)
        spelt = value if isinstance(value, NotKnown) else as_text(value)
        too_long = isinstance(spelt, str) and len(spelt) > limits.VALUE_CHARS
        return NotKnown("the text is too long") if too_long else spelt
