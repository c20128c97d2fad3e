"""Conditions and computed values: what an expression comes to once its macros are replaced.

The value of a text depends on nothing else, so each distinct text is worked out once. Whole
numbers have 64 bits and may be unsigned, as in a C preprocessor; values may have fractions too.
Names that are left are unknown, and so is what hangs on them: `unknown && 0` is 0, `unknown || 1`
is 1, and a name equals itself.
"""

import operator
import re
from collections.abc import Callable
from functools import cache, lru_cache
from math import isfinite
from typing import Any, NamedTuple

from lark import Lark, Token, Transformer, UnexpectedCharacters, UnexpectedInput, v_args

from pincheck import grammar
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.readers.mistakes import Mistake


class Unsigned(int):
    """A whole number that C counts as unsigned."""


class Text(NamedTuple):
    """Text in quotes, or an array: nothing to compute with."""

    text: str


@frozen
class Unknown:
    """What hangs on `names`; `text` is the name or call itself, empty for anything computed."""

    names: frozenset[str]
    text: str = ""


@frozen
class Wrong:
    """What cannot be computed whatever the names mean, and why."""

    reason: str


MacroValue = int | float | Text | Unknown | Wrong


def value(text: str) -> MacroValue | Mistake:
    """Return what a value comes to, or why the text is no expression."""
    return _work_out("value", text)


def condition(text: str) -> MacroValue | Mistake:
    """Return what a condition comes to, or what is wrong with it."""
    if fraction := _FRACTION.search(text):
        expected = "whole numbers only, as the firmware's compiler does"
        return Mistake(fraction.start(), f"{fraction[0]} in a condition has a fraction", expected)
    return _work_out("condition", text)


_FRACTION = re.compile(r"(?<![\w.\"'])(?:\d+\.\d*|\.\d+|\d+[eE][+-]?\d+)(?![xX\w]*[\"'])")
_REMEMBERED_CHARS = limits.DEFINE_EXPRESSION_CHARS


def _work_out(start: str, text: str) -> MacroValue | Mistake:
    return (_remembered if len(text) <= _REMEMBERED_CHARS else _parse)(start, text)


def _parse(start: str, text: str) -> MacroValue | Mistake:
    try:
        found: MacroValue = _parser().parse(text, start=start)  # type: ignore[assignment]
    except UnexpectedInput as error:
        return _mistake(error, text)
    return found


_remembered = lru_cache(maxsize=8192)(_parse)


@cache
def _parser() -> Lark:
    return grammar.load("define", transformer=_Evaluation())


_NUMBER = re.compile(
    r"(?:0[xX](?P<hex>[\da-fA-F]{1,40})|0[bB](?P<binary>[01]{1,99})"
    r"|(?P<octal>0[0-7]{0,40})|(?P<whole>[1-9]\d{0,40}))"
    r"(?P<suffix>[uU]?[lL]{0,2}|[lL]{1,2}[uU])"
)
_BASES = {"hex": 16, "binary": 2, "octal": 8, "whole": 10}
_FLOAT = re.compile(r"((?:\d+\.\d*|\.\d+)(?:[eE][+-]?\d+)?|\d+[eE][+-]?\d+)[fFlL]?")
_ESCAPES = {"n": 10, "t": 9, "r": 13, "0": 0, "\\": 92, "'": 39, '"': 34, "a": 7, "b": 8}


def _fit(number: int, unsigned: bool) -> int:
    number &= 0xFFFF_FFFF_FFFF_FFFF
    if unsigned:
        return Unsigned(number)
    return number - (1 << 64) if number >> 63 else number


def _divide(a: Any, b: Any) -> Any:
    if isinstance(a, int) and isinstance(b, int):
        quotient = abs(a) // abs(b)
        return quotient if (a < 0) == (b < 0) else -quotient
    return a / b


def _shift(a: int, b: int) -> int:
    if b <= -64 or b >= 64:
        return -1 if a < 0 and b > 0 else 0
    return a >> b if b >= 0 else a << -b


_COMPUTE: dict[str, Callable[[Any, Any], Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": _divide,
    "%": lambda a, b: a - b * _divide(a, b),
    "<<": lambda a, b: _shift(a, -b),
    ">>": _shift,
    "&": operator.and_,
    "|": operator.or_,
    "^": operator.xor,
}
_COMPARE: dict[str, Callable[[Any, Any], bool]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    ">": operator.gt,
    "<=": operator.le,
    ">=": operator.ge,
}
_WHOLE_ONLY = frozenset(("%", "<<", ">>", "&", "|", "^"))


def _open(*values: MacroValue) -> Unknown | Wrong | None:
    """Return what keeps an operation from being computed."""
    for value in values:
        if isinstance(value, Wrong):
            return value
        if isinstance(value, Text):
            return Wrong(f"{value.text} is no number to compute with")
    unknown = [value.names for value in values if isinstance(value, Unknown)]
    return Unknown(frozenset().union(*unknown)) if unknown else None


def _operate(left: MacroValue, sign: str, right: MacroValue) -> MacroValue:
    compare = _COMPARE.get(sign)
    if obstacle := _open(left, right):
        if compare and isinstance(left, Unknown) and left.text and left == right:
            return int(compare(0, 0))
        return obstacle
    a: Any = left
    b: Any = right
    whole = isinstance(a, int) and isinstance(b, int)
    if sign in _WHOLE_ONLY and not whole:
        return Wrong(f"{sign} needs whole numbers")
    if sign in "/%" and not b:
        return Wrong("divides by zero")
    shifts = sign in ("<<", ">>")
    unsigned = isinstance(a, Unsigned) or (isinstance(b, Unsigned) and not shifts)
    if unsigned and whole:
        a, b = _fit(a, True), b if shifts else _fit(b, True)
    if compare:
        return int(compare(a, b))
    result = _COMPUTE[sign](int(a), int(b)) if whole else _COMPUTE[sign](float(a), float(b))
    if whole:
        return _fit(result, unsigned)
    return float(result) if isfinite(result) else Wrong("comes to more than any number holds")


@v_args(inline=True)
class _Evaluation(Transformer[Token, MacroValue]):
    """Works out each part of an expression as soon as it is read."""

    def number(self, token: Token) -> MacroValue:
        if form := _NUMBER.fullmatch(token):
            kind = next(kind for kind in _BASES if form[kind])
            number = int(form[kind], _BASES[kind])
            decimal_fits = number < 1 << 63
            return _fit(number, "u" in form["suffix"].lower() or not decimal_fits)
        if form := _FLOAT.fullmatch(token):
            return float(form[1])
        return Wrong(f"{token} is no number")

    def name(self, token: Token) -> MacroValue:
        if token in ("true", "false"):
            return int(token == "true")
        return Unknown(frozenset((str(token),)), str(token))

    def character(self, token: Token) -> MacroValue:
        inside = token[1:-1]
        if len(inside) == 1:
            return ord(inside)
        if len(inside) == 2 and inside[1] in _ESCAPES:
            return _ESCAPES[inside[1]]
        return Wrong(f"{token} is no single character")

    def text(self, *tokens: Token) -> MacroValue:
        return Text(" ".join(tokens))

    def array(self, *elements: MacroValue | None) -> MacroValue:
        inside = [spell(element) for element in elements if element is not None]
        missing = next((text for text in inside if not isinstance(text, str)), None)
        return missing or Text("{ " + ", ".join(map(str, inside)) + " }" if inside else "{}")

    def call(self, name: Token, *arguments: MacroValue | None) -> MacroValue:
        inside = ", ".join(str(spell(a)) for a in arguments if a is not None)
        return Unknown(frozenset((f"{name}( )",)), f"{name}({inside})")

    def defined(self, name: Token) -> MacroValue:
        return Unknown(frozenset((str(name),)), f"defined({name})")

    def sign(self, sign: Token, operand: MacroValue) -> MacroValue:
        return _operate(0, sign, operand)

    def complement(self, operand: MacroValue) -> MacroValue:
        return _operate(operand, "^", Unsigned(2**64 - 1) if isinstance(operand, Unsigned) else -1)

    def negate(self, operand: MacroValue) -> MacroValue:
        return _open(operand) or int(not operand)

    def binary(self, left: MacroValue, sign: Token, right: MacroValue) -> MacroValue:
        return _operate(left, sign, right)

    def both(self, left: MacroValue, right: MacroValue) -> MacroValue:
        return _join(left, right, deciding=False)

    def either(self, left: MacroValue, right: MacroValue) -> MacroValue:
        return _join(left, right, deciding=True)

    def choose(self, asked: MacroValue, yes: MacroValue, no: MacroValue) -> MacroValue:
        obstacle = _open(asked)
        if obstacle is None:
            return yes if asked else no
        return yes if yes == no and not isinstance(yes, Wrong) else obstacle


def _join(left: MacroValue, right: MacroValue, *, deciding: bool) -> MacroValue:
    for side in (left, right):
        obstacle = _open(side)
        if obstacle is None and bool(side) is deciding:
            return int(deciding)
        if isinstance(obstacle, Wrong):
            return obstacle
    return _open(left, right) or int(not deciding)


def spell(value: MacroValue) -> "str | Unknown | Wrong":
    """Return a value as text: numbers in decimal, names and quoted text as they are."""
    if isinstance(value, Text):
        return value.text
    if isinstance(value, Unknown):
        return value.text if value.text.isidentifier() else value
    if isinstance(value, float):
        return f"{value:.12g}"
    return value if isinstance(value, Wrong) else str(value)


_OPERANDS = frozenset(("NUMBER", "NAME"))
_WORDS = {"&": "&&", "|": "||", "=": "=="}


def _mistake(error: UnexpectedInput, text: str) -> Mistake:
    """Return Lark's error in the words of somebody who owns a printer."""
    if isinstance(error, UnexpectedCharacters):
        at = error.pos_in_stream or 0
        found = text[at]
        if found == "=":
            return Mistake(at, "a single = compares nothing", "== to compare", "==")
        if found in "\"'":
            return Mistake(at, "the text in quotes is never closed", f"{found} at its end")
        return Mistake(at, f"{found!r} has no place here", "names, numbers, && || ! == < > ( )")
    expected: frozenset[str] = frozenset(getattr(error, "expected", None) or ())
    token: Token | None = getattr(error, "token", None)
    wants_operand = bool(_OPERANDS & expected)
    if token is None or token.type == "$END":
        at = len(text.rstrip())
        if wants_operand:
            return Mistake(at, "this ends too early", "a name or a number")
        if "RPAR" not in expected:
            return Mistake(at, "a ? is never answered in full", ": and a second answer")
        return Mistake(at, "a bracket is never closed", ")")
    at = token.start_pos or 0
    if token.type == "RPAR" and not wants_operand:
        return Mistake(at, "this bracket closes nothing", "( further left, or no ) here")
    if wants_operand:
        return Mistake(at, f"{str(token)!r} follows nothing", "a name or a number before it")
    hint = "an operator such as && or == before it"
    return Mistake(at, f"{str(token)!r} cannot follow what stands before it", hint)
