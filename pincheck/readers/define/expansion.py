"""Replacement of macros in a condition or a value, as a C preprocessor does it.

Each word carries the names of the macros it came out of, which are not replaced in it again
(ISO C 6.10.3.4), so macros that name each other come to an end.
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from pincheck.model import limits
from pincheck.readers.define import calls, expression
from pincheck.readers.define.lines import Define
from pincheck.readers.define.substitution import NOWHERE, Word, substitute, trimmed
from pincheck.readers.define.table import Context, State, Table

_WORD = re.compile(
    r"""\s*\#\#\s* | [^\W\d]\w* | \.?\d(?:[eEpP][+-]|[\w.])*
      | "(?:[^"\\]|\\.)*" | '(?:[^'\\]|\\.)*' | \s+ | \#\s*\w* | . """,
    re.VERBOSE | re.DOTALL,
)
_NAME = re.compile(r"\w+")
_LETTER = re.compile(r"[^\W\d]")
_PIN = re.compile(r"P[A-Z]?_?\d+(?:_\w+)?")


class UndecidedError(Exception):
    """The files do not say what a value comes to; the message is the reason."""


class MisuseError(UndecidedError):
    """A macro cannot be replaced because of a mistake; the message says which."""


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

    def verdict(self, call: str, names: Sequence[str], context: Context) -> calls.Verdict:
        """Return what a condition call comes to.

        Raises:
            MisuseError: one of the names is none.
        """
        self._room = limits.DEFINE_EXPANSION
        return self._verdict(call, names, context, 0)

    def _is_nothing(self, name: str, context: Context) -> bool:
        if name in ("true", "false"):
            return False
        return self.table.look(name, context) not in (State.POSSIBLE, State.UNHEARD)

    def _expand(
        self, parts: Sequence[Word], context: Context, asks: bool, depth: int
    ) -> list[Word]:
        if depth > limits.DEFINE_CALL_DEPTH:
            raise EndlessError(f"macros call each other more than {limits.DEFINE_CALL_DEPTH} deep")
        stack = list(reversed(parts))
        out: list[Word] = []
        while stack:
            word, hidden = item = stack.pop()
            if not word.isidentifier():
                out.append(item)
            elif word in hidden:
                self.circular = True
                out.append(item)
            elif word == "defined" and asks:
                out.append((self._defined(stack, context), NOWHERE))
            elif word in _CALLS and (found := _arguments(stack, word)):
                out.append((self._call(word, found[0], context, asks, depth), NOWHERE))
            else:
                macro = self.table.look(word, context)
                if isinstance(macro, Define) and _is_last(macro):
                    self._spend(len(macro.body))
                    out.append((macro.body, NOWHERE))
                elif isinstance(macro, Define):
                    self._replace(item, macro, stack, out, context, asks, depth)
                elif macro is State.POSSIBLE and not asks:
                    raise UndecidedError(f"{word} is defined only under a condition")
                else:
                    out.append(item)
        return out

    def _spend(self, characters: int) -> None:
        self._room -= characters + 1
        self.left -= characters + 1
        if self._room < 0:
            most = limits.DEFINE_EXPANSION
            raise EndlessError(f"its macros come to more than {most} characters")
        if self.left < 0:
            most = limits.DEFINE_EXPANSIONS
            raise EndlessError(f"all macros together come to more than {most} characters")

    def _replace(
        self,
        item: Word,
        macro: Define,
        stack: list[Word],
        out: list[Word],
        context: Context,
        asks: bool,
        depth: int,
    ) -> None:
        """Put what a macro stands for back onto the stack."""
        word, hidden = item
        if macro.parameters is None:
            found = substitute(words(macro.body), None, {}, {}, hidden | {word})
        else:
            call = _arguments(stack, word)
            if call is None:
                out.append(item)
                return
            raw = _named(macro, call[0])
            full = {
                name: self._expand(argument, context, asks, depth + 1)
                for name, argument in raw.items()
            }
            inside = (hidden & call[1]) | {word}
            found = substitute(words(macro.body), macro.parameters, raw, full, inside)
        self._spend(sum(len(word) for word, _ in found))
        stack.extend(reversed(found))

    def _defined(self, stack: list[Word], context: Context) -> str:
        rest = [word for word, _ in reversed(stack[-8:]) if not word.isspace()]
        bracket = rest[:1] == ["("] and rest[2:3] == [")"]
        name = rest[1] if bracket else rest[0] if rest else ""
        if not name.isidentifier():
            raise MisuseError("defined asks for no name")
        for _ in range(3 if bracket else 1):
            while stack.pop()[0].isspace():
                pass
        found = self.table.look(name, context)
        known = isinstance(found, Define) or found is State.OFF
        return f"{int(isinstance(found, Define))}" if known else f"defined({name})"

    def _call(
        self, call: str, arguments: list[list[Word]], context: Context, asks: bool, depth: int
    ) -> str:
        names = ["".join(word for word, _ in argument) for argument in arguments]
        verdict = self._verdict(call, names, context, depth)
        if verdict is None and not asks:
            raise UndecidedError(f"{call}({', '.join(names)}) cannot be decided")
        return f"{call}({', '.join(names)})" if verdict is None else str(int(verdict))

    def _verdict(
        self, call: str, names: Sequence[str], context: Context, depth: int
    ) -> calls.Verdict:
        wrong = next((name for name in names if not _NAME.fullmatch(name)), None)
        if wrong is not None:
            what = f"not {wrong!r}" if wrong else "and one is missing"
            raise MisuseError(f"{call}( ) takes names of settings, {what}")
        if call in calls.SWITCHES:
            return calls.SWITCHES[call](self._is_on(name, context, depth) for name in names)
        return calls.PINS[call](self._has_pin(name, context, depth) for name in names)

    def _is_on(self, name: str, context: Context, depth: int) -> calls.Verdict:
        found = self.table.look(name, context)
        if not isinstance(found, Define):
            literal = not name.isidentifier() or name in ("true", "false")
            return name in calls.ON if literal else False if found is State.OFF else None
        if found.parameters is not None:
            return False
        if found.body in calls.ON:
            return True
        text = self._comes_to(found, context, depth)
        if text is None or (text.isidentifier() and text not in ("true", "false")):
            return None
        return text in calls.ON

    def _has_pin(self, name: str, context: Context, depth: int) -> calls.Verdict:
        found = self.table.look(f"{name}_PIN", context)
        text = self._comes_to(found, context, depth) if isinstance(found, Define) else None
        if text is None:
            return None
        number = expression.value(text)
        if isinstance(number, int):
            return number >= 0
        return True if _PIN.fullmatch(text) else None

    def _comes_to(self, macro: Define, context: Context, depth: int) -> str | None:
        """Return the text that a macro comes to, None where nobody knows."""
        try:
            parts = [(word, frozenset((macro.name,))) for word in words(macro.body)]
            found = self._expand(parts, context, False, depth + 1)
        except MisuseError:
            raise
        except UndecidedError:
            return None
        return _spelt(word for word, _ in found).strip()


_NOT_DEFINED = (State.OFF, State.UNHEARD)
_CALLS = calls.SWITCHES.keys() | calls.PINS.keys()


def _is_last(macro: Define) -> bool:
    """Return whether nothing in a macro's body can be a macro again."""
    return macro.parameters is None and not _LETTER.search(macro.body)


def _arguments(stack: list[Word], name: str) -> tuple[list[list[Word]], frozenset[str]] | None:
    """Take a call's arguments off the stack; None, taking nothing, where no bracket follows.

    Also returned is what hides in the closing bracket.
    """
    at = len(stack) - 1
    while at >= 0 and stack[at][0].isspace():
        at -= 1
    if at < 0 or stack[at][0] != "(":
        return None
    del stack[at:]
    found: list[list[Word]] = [[]]
    depth = 1
    while stack:
        item = stack.pop()
        depth += (item[0] == "(") - (item[0] == ")")
        if not depth:
            return [trimmed(argument) for argument in found], item[1]
        if item[0] == "," and depth == 1:
            found.append([])
        else:
            found[-1].append(item)
    raise MisuseError(f"the bracket of {name}( is never closed")


def _named(macro: Define, arguments: list[list[Word]]) -> dict[str, list[Word]]:
    """Return each parameter with its argument; the last may take any number."""
    names = macro.parameters or ()
    if not names and arguments == [[]]:
        return {}
    if names and names[-1].endswith("..."):
        fixed, rest = names[:-1], arguments[len(names) - 1 :]
        several: list[Word] = []
        for argument in rest:
            several += [
                *([(",", NOWHERE)] if several or argument is not rest[0] else []),
                *argument,
            ]
        if len(arguments) >= len(fixed):
            last = names[-1][:-3].strip() or "__VA_ARGS__"
            return {**dict(zip(fixed, arguments, strict=False)), last: several}
    elif len(arguments) == len(names):
        return dict(zip(names, arguments, strict=True))
    raise MisuseError(f"{macro.name}( ) takes {len(names)} values, {len(arguments)} are given")


def _spelt(parts: Iterable[str]) -> str:
    """Return words as one text, kept apart where two would grow together."""
    out: list[str] = []
    for word in parts:
        if out and word and (word[0].isalnum() or word[0] == "_") and out[-1][-1:].isalnum():
            out.append(" ")
        out.append(word)
    return "".join(out)
