"""Evaluates expressions of the gcode style as far as the files at hand decide them."""

import math
import operator
from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from typing import Any

from lark import Lark, Token, Tree, UnexpectedInput

from pincheck import grammar
from pincheck.model import limits
from pincheck.model.frozen import frozen

Constant = int | float | str | bool | tuple[int | float | str | bool | None, ...] | None


@frozen
class NotKnown:
    """What the files at hand do not decide, and why."""

    reason: str


Evaluated = Constant | NotKnown


@frozen
class Scope:
    """The variables that the script has set so far, such as `global.x`.

    `complete` is whether no script that may have set more of them ran unseen.
    """

    values: Mapping[str, Evaluated]
    complete: bool = True

    def value(self, name: str) -> Evaluated:
        """Return what a name stands for."""
        if name in self.values:
            return self.values[name]
        return NotKnown(f"{name} is known only while the machine runs")

    def exists(self, name: str) -> bool | NotKnown:
        """Whether a variable was set; one that nothing has set since power-on does not exist."""
        if name in self.values:
            return True
        ours = name.startswith(("global.", "var."))
        return False if ours and self.complete else NotKnown(f"{name} may exist or not")


@frozen
class Unreadable:
    """A text that is no expression: where it goes wrong, and what was expected there."""

    at: int
    expected: str


def _remainder(left: float, right: float) -> float:
    rest = math.fmod(left, right)
    return int(rest) if isinstance(left, int) and isinstance(right, int) else rest


_LARGEST = 2**31
"""The firmware's integers have 32 bits; anything beyond is not what it computes."""

_NAMED: dict[str, Constant] = {"true": True, "false": False, "null": None, "pi": math.pi}
_COMPARE: dict[str, Callable[[Any, Any], bool]] = {
    "=": operator.eq,
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}
_ARITHMETIC: dict[str, Callable[[Any, Any], float]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
    "%": _remainder,
}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "abs": abs,
    "ceil": math.ceil,
    "floor": math.floor,
    "max": max,
    "min": min,
    "mod": _remainder,
    "sqrt": math.sqrt,
}


def evaluate(text: str, scope: Scope) -> Evaluated | Unreadable:
    """Return what an expression comes to; what only the running machine knows is `NotKnown`.

    Precedence, loosest first: `?:`, `^`, `& |`, comparisons, `+ -`, `* / %`.
    """
    tree = _parse(text)
    if isinstance(tree, Unreadable):
        return tree
    try:
        return _bounded(_value(tree, scope))
    except (ArithmeticError, TypeError, ValueError):
        return NotKnown(f"{text.strip()} has no value")


def as_text(value: Constant) -> str:
    """Return a value as a parameter would spell it: a list with colons between."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    if isinstance(value, tuple):
        return ":".join(map(as_text, value))
    return "null" if value is None else str(value)


@cache
def _grammar() -> Lark:
    return grammar.load("gcode")


@lru_cache(maxsize=4_096)
def _parse(text: str) -> Tree[Token] | Unreadable:
    if len(text) > limits.EXPRESSION_CHARS:
        return Unreadable(limits.EXPRESSION_CHARS, "a shorter expression")
    try:
        return _grammar().parse(text)
    except UnexpectedInput as error:
        tokens: Any = getattr(error, "allowed", None) or getattr(error, "expected", ())
        token = getattr(error, "token", None)
        at = error.pos_in_stream if token is None or token.type != "$END" else None
        return Unreadable(len(text) if at is None else at, _in_words(frozenset(tokens)))


def _in_words(tokens: frozenset[str]) -> str:
    if "NUMBER" in tokens:
        return "a value"
    for token, words in (("RPAR", "`)`"), ("RBRACE", "`}`"), ("RSQB", "`]`")):
        if token in tokens:
            return words
    return "an operator or the end"


def _bounded(value: Evaluated) -> Evaluated:
    if isinstance(value, str | tuple) and len(value) > limits.VALUE_CHARS:
        return NotKnown("the text is too long")
    if isinstance(value, int | float) and not abs(value) < _LARGEST:
        return NotKnown("the number is too large")
    return value


def _value(tree: Tree[Token] | Token, scope: Scope) -> Evaluated:
    if isinstance(tree, Token):
        return NotKnown(str(tree))
    return _RULES[tree.data](tree.children, scope)


Children = list[Any]


def _number(children: Children, _: Scope) -> Evaluated:
    text = children[0]
    if text[:2] in ("0x", "0X"):
        return int(text, 16)
    return int(text) if text.isdigit() else float(text)


def _string(children: Children, _: Scope) -> Evaluated:
    return str(children[0])[1:-1].replace('""', '"')


def _path(children: Children, scope: Scope) -> Evaluated:
    name = "".join(child for child in children if isinstance(child, Token))
    indices = [child for child in children if not isinstance(child, Token)]
    if name in _NAMED and not indices:
        return _NAMED[name]
    value = scope.value(name)
    for index in indices:
        at = _value(index, scope)
        if isinstance(at, NotKnown) or isinstance(value, NotKnown):
            return value if isinstance(value, NotKnown) else at
        if not isinstance(value, tuple) or not isinstance(at, int) or not 0 <= at < len(value):
            return NotKnown(f"{name} has no such element")
        value = value[at]
    return value


def _call(children: Children, scope: Scope) -> Evaluated:
    name, arguments = str(children[0]), [child for child in children[1:] if child is not None]
    if name == "exists" and len(arguments) == 1 and arguments[0].data == "path":
        return scope.exists("".join(map(str, arguments[0].children)))
    values = [_value(argument, scope) for argument in arguments]
    unknown = next((value for value in values if isinstance(value, NotKnown)), None)
    if unknown or name not in _FUNCTIONS:
        return unknown or NotKnown(f"{name}() is known only while the machine runs")
    return _FUNCTIONS[name](*values)


def _array(children: Children, scope: Scope) -> Evaluated:
    values = [_value(child, scope) for child in children if child is not None]
    unknown = next((value for value in values if isinstance(value, NotKnown)), None)
    if unknown:
        return unknown
    if any(isinstance(value, tuple) for value in values):
        return NotKnown("a list of lists is not worked out")
    return tuple(value for value in values if not isinstance(value, NotKnown | tuple))


def _choice(children: Children, scope: Scope) -> Evaluated:
    condition = _value(children[0], scope)
    if isinstance(condition, NotKnown):
        return condition
    return _value(children[1] if condition else children[2], scope)


def _logic(children: Children, scope: Scope) -> Evaluated:
    left, right = _value(children[0], scope), _value(children[2], scope)
    decides = children[1][0] == "|"
    for side in (left, right):
        if not isinstance(side, NotKnown) and bool(side) is decides:
            return decides
    unknown = next((side for side in (left, right) if isinstance(side, NotKnown)), None)
    return unknown or not decides


def _binary(
    apply: Callable[[str, Any, Any], Constant],
) -> Callable[[Children, Scope], Evaluated]:
    def rule(children: Children, scope: Scope) -> Evaluated:
        left, right = _value(children[0], scope), _value(children[-1], scope)
        if isinstance(left, NotKnown):
            return left
        if isinstance(right, NotKnown):
            return right
        return _bounded(apply(str(children[1]), left, right))

    return rule


def _prefix(apply: Callable[[Any], Constant]) -> Callable[[Children, Scope], Evaluated]:
    def rule(children: Children, scope: Scope) -> Evaluated:
        value = _value(children[-1], scope)
        return value if isinstance(value, NotKnown) else apply(value)

    return rule


def _signed(children: Children, scope: Scope) -> Evaluated:
    value = _value(children[1], scope)
    if isinstance(value, NotKnown):
        return value
    return -value if children[0] == "-" else +value  # type: ignore[operator]


_RULES: dict[str, Callable[[Children, Scope], Evaluated]] = {
    "number": _number,
    "string": _string,
    "character": _string,
    "path": _path,
    "call": _call,
    "array": _array,
    "choice": _choice,
    "logic": _logic,
    "join": _binary(lambda _, left, right: as_text(left) + as_text(right)),
    "compare": _binary(lambda sign, left, right: _COMPARE[sign](left, right)),
    "arithmetic": _binary(lambda sign, left, right: _ARITHMETIC[sign](left, right)),
    "sign": _signed,
    "negate": _prefix(operator.not_),
    "length": _prefix(len),
}
