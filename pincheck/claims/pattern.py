"""Patterns of keys and sections: plain text with places for a number or a name.

`{n}` is a number, `{n?}` a number that may be missing (then 0), `{name}` and `{any}` any text,
`{any?}` any text or none, `{axis}` one of x, y and z, `{xy}` x or y,
`{tower}` a, b or c of a delta, which stands for the axis x, y or z, `{each}` every hot end
that there is, `{i}` every element of a list.
A selector letter before `{n?}` (`M558 K{n?}`) may be missing with it.
"""

import re
from collections.abc import Mapping
from functools import lru_cache

_PLACE = re.compile(r" ?[A-Z]?\{n\?\}|\{\w+\??\}")
_FORMS = {
    "n": r"(?P<n>\d{1,3})",
    "n?": r"(?P<n>\d{0,3})",
    "name": r"(?P<name>\S.*)",
    "any": r"(?:\S+)",
    "any?": r"(?:.*)",
    "axis": r"(?P<axis>[xyzXYZ])",
    "xy": r"(?P<xy>[xyXY])",
    "tower": r"(?P<tower>[abcABC])",
    "each": r"(?P<each>\d{1,3})",
    "i": r"(?P<i>\d{1,3})",
}
PLACES = tuple(_FORMS)
WILD = frozenset(("any", "any?", "name"))
"""Places that any text fills."""

_MOST_CHARS = 250
"""Characters of a key or section that a pattern can describe: with two places of any text in it,
the ways to fit grow with the square. Names that firmware takes are a tenth of that."""

_AXIS_OF = {"a": "x", "b": "y", "c": "z"}


def base(place: str) -> str:
    """Return the name under which a place is filled: `n` for `n?`."""
    return place.rstrip("?")


def is_balanced(text: str) -> bool:
    """Return whether every brace belongs to a place."""
    return not re.search(r"[{}]", re.sub(r"\{\w+\??\}", "", text))


def prefix(pattern: str) -> str:
    """Return what every match of a pattern begins with, in lower case."""
    first = _PLACE.search(pattern)
    return (pattern[: first.start()] if first else pattern).lower()


def places(pattern: str) -> tuple[str, ...]:
    """Return the names of a pattern's places, in order."""
    return tuple(re.findall(r"\{(\w+\??)\}", pattern))


@lru_cache(maxsize=4096)
def _compiled(pattern: str) -> re.Pattern[str]:
    """Return the expression that matches what `pattern` describes.

    Raises:
        KeyError: an unknown place.
    """
    parts: list[str] = []
    at = 0
    for match in _PLACE.finditer(pattern):
        parts.append(re.escape(pattern[at : match.start()]))
        place = match[0][match[0].index("{") + 1 : -1]
        before = match[0][: match[0].index("{")]
        if before.startswith(" "):
            parts.append(f"(?:{re.escape(before)}{_FORMS['n']})?")
        else:
            parts.append(re.escape(before) + _FORMS[place])
        at = match.end()
    parts.append(re.escape(pattern[at:]))
    return re.compile("".join(parts), re.IGNORECASE | re.ASCII)


def matched(pattern: str, text: str) -> dict[str, str] | None:
    """Return what fills the places of a pattern that describes a text, None where it does not.

    A place that is missing is filled by None or an empty text.
    """
    # Most patterns have no place: comparing spares building and trying an expression.
    if "{" not in pattern:
        return {} if pattern.lower() == text.lower() else None
    found = _compiled(pattern).fullmatch(text) if len(text) <= _MOST_CHARS else None
    if found is None:
        return None
    groups = found.groupdict()
    if tower := groups.get("tower"):
        groups["axis"] = _AXIS_OF[tower.lower()]
    return groups


def filled(template: str, groups: Mapping[str, str]) -> str:
    """Return `template` with its places filled; an optional number that is 0 disappears.

    Raises:
        KeyError: a place that `groups` does not fill.
    """

    # Most templates have no place, and this is asked a thousand times of one machine.
    if "{" not in template:
        return template

    def fill(match: re.Match[str]) -> str:
        text = match[0]
        place = text[text.index("{") + 1 : -1]
        before = text[: text.index("{")]
        value = groups.get("any", "") if place == "any?" else groups[place.rstrip("?")]
        if place == "n?" and value in ("", "0"):
            return "" if before.startswith(" ") else before
        return before + value

    return _PLACE.sub(fill, template)


@lru_cache(maxsize=4096)
def stem(text: str) -> str:
    """Return the first word of a key or section without digits, in lower case."""
    return re.sub(r"\d+", "", text.split(" ")[0]).lower()


def stems(pattern: str) -> frozenset[str]:
    """Return every stem that a match of `pattern` can have."""
    axes = {"axis": "xyz", "xy": "xy", "tower": "abc"}
    named = next((place for place in places(pattern) if place in axes), "")
    texts = [pattern.replace(f"{{{named}}}", axis) for axis in axes.get(named, " ")]
    return frozenset(re.sub(r"\{\w+\??\}", "", stem(text)) for text in texts)
