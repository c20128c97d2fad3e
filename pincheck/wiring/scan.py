"""Places in a TOML text that is right: a tenth of the grammar's time, and no word on mistakes."""

import re
from collections.abc import Iterator

from pincheck.model import limits
from pincheck.wiring.statement import Name, Node, Pair, Table

_BASIC = r'"(?:[^"\\\n]|\\.)*"'
_LITERAL = r"'[^'\n]*'"
_GAP = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_LINE_END = re.compile(r"[ \t]*(?:#[^\n]*)?(?:\r?\n|\Z)")
_NAME = re.compile(rf"[ \t]*([A-Za-z0-9_-]+|{_BASIC}|{_LITERAL})[ \t]*(\.|=|\]\]?)")
_VALUE = re.compile(
    r'[ \t]*("""(?:[^"\\]|\\[\s\S]|"{1,2}(?!"))*"{3,5}'
    r"|'''(?:[^']|'{1,2}(?!'))*'{3,5}"
    rf"|{_BASIC}|{_LITERAL}|[\[{{]"
    r"|\d{4}-\d\d-\d\d \d\d:[^\s,\]}#]+|[^\s\[\]{},#=\"']+)"
)


def statements(text: str) -> Iterator[Pair | Table]:
    """Yield the statements of a text; it may still break a rule that places do not show.

    Raises:
        ValueError: the text is no TOML or nested past the bound; the grammar knows where.
    """
    at = _past_gap(text, 0)
    while at < len(text):
        start = at
        if text[at] == "[":
            closing = "]]" if text.startswith("[[", at) else "]"
            key, at = _key(text, at + len(closing), closing)
            yield Table(key, start, at, repeated=closing == "]]")
        else:
            pair, at = _pair(text, at, 0)
            yield pair
        end = _LINE_END.match(text, at)
        if end is None:
            raise ValueError(at)
        at = _past_gap(text, end.end())


def _past_gap(text: str, at: int) -> int:
    gap = _GAP.match(text, at)
    return gap.end() if gap else at


def _key(text: str, at: int, closing: str) -> tuple[tuple[Name, ...], int]:
    names: list[Name] = []
    mark = "."
    while mark == ".":
        found = _NAME.match(text, at)
        if found is None or len(names) == limits.WIRING_DEPTH:
            raise ValueError(at)
        names.append(Name(found[1], *found.span(1)))
        mark, at = found[2], found.end()
    if mark != closing:
        raise ValueError(at)
    return tuple(names), at


def _pair(text: str, at: int, depth: int) -> tuple[Pair, int]:
    key, at = _key(text, at, "=")
    value, at = _value(text, at, depth + len(key) - 1 if depth else 0)
    return Pair(key, value), at


def _value(text: str, at: int, depth: int) -> tuple[Node, int]:
    found = _VALUE.match(text, at)
    if found is None or depth > limits.WIRING_DEPTH:
        raise ValueError(at)
    start, at = found.span(1)
    if found[1] not in ("[", "{"):
        return Node(start, at), at
    if depth == limits.WIRING_DEPTH:
        raise ValueError(at)
    items: list[Node] = []
    pairs: list[Pair] = []
    closing = "]" if found[1] == "[" else "}"
    at = _past_gap(text, at)
    while not text.startswith(closing, at):
        if closing == "]":
            item, at = _value(text, at, depth + 1)
            items.append(item)
        else:
            pair, at = _pair(text, at, depth + 1)
            pairs.append(pair)
        at = _past_gap(text, at)
        if text.startswith(",", at):
            at = _past_gap(text, at + 1)
        elif not text.startswith(closing, at):
            raise ValueError(at)
    return Node(start, at + 1, tuple(items), tuple(pairs)), at + 1
