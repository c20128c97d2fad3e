"""Replacement of macros in a condition or a value, as a C preprocessor does it.

Each word carries the names of the macros it came out of, which are not replaced in it again
(ISO C 6.10.3.4), so macros that name each other come to an end.
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from pincheck.model import limits
from pincheck.model.problem import TooMuchError
from pincheck.readers.define import calls, derived, expression
from pincheck.readers.define.arguments import MisuseError, UndecidedError, arguments, named
from pincheck.readers.define.lines import DefineLine
from pincheck.readers.define.substitution import NOWHERE, MacroWord, substitute
from pincheck.readers.define.table import Context, MacroState, Table

_WORD = re.compile(
    r"""\s*\#\#\s* | [^\W\d]\w* | \.?\d(?:[eEpP][+-]|[\w.])*
      | "(?:[^"\\]|\\.)*" | '(?:[^'\\]|\\.)*' | \s+ | \#\s*\w* | . """,
    re.VERBOSE | re.DOTALL,
)
_NAME = re.compile(r"\w+")
_LETTER = re.compile(r"[^\W\d]")
_PIN = re.compile(r"P[A-Z]?_?\d+(?:_\w+)?")


class EndlessError(MisuseError):
    """Macros come to more words, or call each other deeper, than any configuration needs."""


@lru_cache(maxsize=8192)
def _short_words(text: str) -> tuple[str, ...]:
    return tuple(_WORD.findall(text))


def words(text: str) -> tuple[str, ...]:
    """Return the words of a text, blanks between them included."""
    return _short_words(text) if len(text) < 500 else tuple(_WORD.findall(text))


class Expansion:
    """Replaces macros by what the table says of them at that moment."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.left = limits.DEFINE_EXPANSIONS
        self.circular = False
        self._room = 0
        self._computed_left = limits.DEFINE_COMPUTED_CHARS

    def count(self, text: str) -> None:
        """Count one more condition or value to be computed.

        Raises:
            TooMuchError: all together have more characters than any machine's.
        """
        self._computed_left -= max(len(text), limits.EXPRESSION_LEAST)
        if self._computed_left < 0:
            most = limits.DEFINE_COMPUTED_CHARS
            raise TooMuchError(f"conditions and values to compute of more than {most:,} characters")

    def condition(self, text: str, context: Context) -> str:
        """Return a condition with all macros and known calls replaced.

        Names that are certainly not defined become 0; what nobody knows stays as it is.

        Raises:
            MisuseError: a call is wrong, or the macros never come to an end.
        """
        self._room = limits.DEFINE_EXPANSION
        out = self._expand([(word, NOWHERE) for word in words(text)], context, True, 0)
        return _spelt(
            "0" if word.isidentifier() and self._is_nothing(word, context) else word
            for word, _ in out
        )

    def value(self, text: str, context: Context, name: str = "") -> str:
        """Return the value of macro `name` with all macros and known calls replaced.

        `circular` is then whether the macros lead back to one of themselves.

        Raises:
            UndecidedError: it rests on a macro or a call that nobody can decide.
        """
        self.circular = False
        if not _LETTER.search(text):
            return text
        if text.isidentifier() and self.table.look(text, context) in _NOT_DEFINED:
            return text
        self._room = limits.DEFINE_EXPANSION
        own = frozenset((name,))
        out = self._expand([(word, own) for word in words(text)], context, False, 0)
        return _spelt(word for word, _ in out)

    def verdict(self, call: str, names: Sequence[str], context: Context) -> calls.Truth:
        """Return what a condition call comes to.

        Raises:
            MisuseError: one of the names is none.
        """
        self._room = limits.DEFINE_EXPANSION
        return self._verdict(call, names, context, 0)

    def _is_nothing(self, name: str, context: Context) -> bool:
        if name in ("true", "false"):
            return False
        return self.table.look(name, context) not in (MacroState.POSSIBLE, MacroState.UNHEARD)

    def _expand(
        self, parts: Sequence[MacroWord], context: Context, asks: bool, depth: int
    ) -> list[MacroWord]:
        if depth > limits.DEFINE_CALL_DEPTH:
            raise EndlessError(f"macros call each other more than {limits.DEFINE_CALL_DEPTH} deep")
        stack = list(reversed(parts))
        out: list[MacroWord] = []
        while stack:
            word, hidden = item = stack.pop()
            if not word.isidentifier():
                out.append(item)
            elif word in hidden:
                self.circular = True
                out.append(item)
            elif word == "defined" and asks:
                out.append((self._defined(stack, context), NOWHERE))
            elif word in _CALLS and not self._is_own(word) and (found := arguments(stack, word)):
                out.append((self._call(word, found[0], context, asks, depth), NOWHERE))
            else:
                macro = self.table.look(word, context)
                if isinstance(macro, DefineLine) and _is_last(macro):
                    self._spend(len(macro.body))
                    out.append((macro.body, NOWHERE))
                elif isinstance(macro, DefineLine):
                    self._replace(item, macro, stack, out, context, asks, depth)
                elif (
                    macro is MacroState.UNHEARD
                    and (known := self._derived(word, context, depth)) is not None
                ):
                    out.append((str(int(known)), NOWHERE))
                elif macro is MacroState.POSSIBLE and not asks:
                    raise UndecidedError(f"{word} is defined only under a condition")
                else:
                    out.append(item)
        return out

    def _is_own(self, call: str) -> bool:
        """Return whether a header that is read defines a call itself: it is a macro then."""
        return call in derived.CALLS and isinstance(self.table.look(call, ()), DefineLine)

    def _spend(self, characters: int) -> None:
        self._room -= characters + 1
        self.left -= characters + 1
        if self._room < 0:
            most = limits.DEFINE_EXPANSION
            raise EndlessError(f"its macros come to more than {most} characters")
        if self.left < 0:
            most = limits.DEFINE_EXPANSIONS
            raise TooMuchError(f"macros that come to more than {most:,} characters in all")

    def _replace(
        self,
        item: MacroWord,
        macro: DefineLine,
        stack: list[MacroWord],
        out: list[MacroWord],
        context: Context,
        asks: bool,
        depth: int,
    ) -> None:
        """Put what a macro stands for back onto the stack."""
        word, hidden = item
        if macro.parameters is None:
            found = substitute(words(macro.body), None, {}, {}, hidden | {word})
        else:
            call = arguments(stack, word)
            if call is None:
                out.append(item)
                return
            raw = named(macro, call[0])
            full = {
                name: self._expand(argument, context, asks, depth + 1)
                for name, argument in raw.items()
            }
            inside = (hidden & call[1]) | {word}
            found = substitute(words(macro.body), macro.parameters, raw, full, inside)
        self._spend(sum(len(word) for word, _ in found))
        stack.extend(reversed(found))

    def _defined(self, stack: list[MacroWord], context: Context) -> str:
        rest = [word for word, _ in reversed(stack[-8:]) if not word.isspace()]
        bracket = rest[:1] == ["("] and rest[2:3] == [")"]
        name = rest[1] if bracket else rest[0] if rest else ""
        if not name.isidentifier():
            raise MisuseError("defined asks for no name")
        for _ in range(3 if bracket else 1):
            while stack.pop()[0].isspace():
                pass
        found = self.table.look(name, context)
        known = isinstance(found, DefineLine) or found is MacroState.OFF
        return f"{int(isinstance(found, DefineLine))}" if known else f"defined({name})"

    def _call(
        self, call: str, given: list[list[MacroWord]], context: Context, asks: bool, depth: int
    ) -> str:
        names = ["".join(word for word, _ in argument) for argument in given]
        verdict = self._verdict(call, names, context, depth)
        if verdict is None and not asks:
            raise UndecidedError(f"{call}({', '.join(names)}) cannot be decided")
        return f"{call}({', '.join(names)})" if verdict is None else str(int(verdict))

    def _verdict(
        self, call: str, names: Sequence[str], context: Context, depth: int
    ) -> calls.Truth:
        wrong = next((name for name in names if not _NAME.fullmatch(name)), None)
        if wrong is not None:
            what = f"not {wrong!r}" if wrong else "and one is missing"
            raise MisuseError(f"{call}( ) takes names of settings, {what}")
        if call in derived.CALLS:
            return derived.CALLS[call](
                list(names), self._text_of(context, depth), self.table.mentioned
            )
        if call in calls.SWITCHES:
            return calls.SWITCHES[call](self._is_on(name, context, depth) for name in names)
        return calls.PINS[call](self._has_pin(name, context, depth) for name in names)

    def _is_on(self, name: str, context: Context, depth: int) -> calls.Truth:
        found = self.table.look(name, context)
        if not isinstance(found, DefineLine):
            if not name.isidentifier() or name in ("true", "false"):
                return name in calls.ON
            if found is MacroState.OFF:
                return False
            known = self._derived(name, context, depth)
            return None if known is None else known == 1
        if found.parameters is not None:
            return False
        if found.body in calls.ON:
            return True
        text = self._comes_to(found, context, depth)
        if text is None or (text.isidentifier() and text not in ("true", "false")):
            return None
        return text in calls.ON

    def _derived(self, name: str, context: Context, depth: int) -> int | None:
        """Return what a name comes to that firmware works out itself, None for any other."""
        return derived.name(name, self._text_of(context, depth), self.table.mentioned)

    def _text_of(self, context: Context, depth: int) -> derived.SettingText:
        def text(name: str) -> str | None:
            found = self.table.look(name, context)
            if isinstance(found, DefineLine):
                value = self._comes_to(found, context, depth)
                return "1" if value == "" else value
            return "" if found is MacroState.OFF else None

        return text

    def _has_pin(self, name: str, context: Context, depth: int) -> calls.Truth:
        found = self.table.look(f"{name}_PIN", context)
        text = self._comes_to(found, context, depth) if isinstance(found, DefineLine) else None
        if text is None:
            return None
        self.count(text)
        number = expression.value(text)
        if isinstance(number, int):
            return number >= 0
        return True if _PIN.fullmatch(text) else None

    def _comes_to(self, macro: DefineLine, context: Context, depth: int) -> str | None:
        """Return the text that a macro comes to, None where nobody knows."""
        try:
            parts = [(word, frozenset((macro.name,))) for word in words(macro.body)]
            found = self._expand(parts, context, False, depth + 1)
        except MisuseError:
            raise
        except UndecidedError:
            return None
        return _spelt(word for word, _ in found).strip()


_NOT_DEFINED = (MacroState.OFF, MacroState.UNHEARD)
_CALLS = calls.SWITCHES.keys() | calls.PINS.keys() | derived.CALLS.keys()


def _is_last(macro: DefineLine) -> bool:
    """Return whether nothing in a macro's body can be a macro again."""
    return macro.parameters is None and not _LETTER.search(macro.body)


def _spelt(parts: Iterable[str]) -> str:
    """Return words as one text, kept apart where two would grow together."""
    out: list[str] = []
    for word in parts:
        if out and word and (word[0].isalnum() or word[0] == "_") and out[-1][-1:].isalnum():
            out.append(" ")
        out.append(word)
    return "".join(out)
