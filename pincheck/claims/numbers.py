"""Numbers, flags and words as users write them, to values."""

import re
from collections.abc import Mapping

from pincheck.claims.entry import Entry

NUMBER = re.compile(
    r"(?P<open>\(*)\s*(?P<figure>[-+]?(?:\d++\.?\d*+|\.\d++)(?:[eE][-+]?\d++)?)\s*(?P<tail>[fFuUlL]*)\)*"
)
_ELEMENT = re.compile(r"[^{},:\s](?:[^{},:]*[^{},:\s])?")
_LARGEST = 1e12
_MOST_DOUBLINGS = 16
_ON = frozenset(("1", "true", "on", "yes", "enabled"))
_OFF = frozenset(("0", "false", "off", "no", "disabled"))


def elements(text: str) -> tuple[tuple[int, int], ...]:
    """Return where each element of `{ 1, 2 }`, `1:2` or a single value stands, blanks left out."""
    return tuple(match.span() for match in _ELEMENT.finditer(text))


def element(text: str, index: int) -> tuple[int, int]:
    """Return where one element stands; a single value stands for every index.

    Raises:
        ValueError: the list is too short.
    """
    spans = elements(text)
    if not spans:
        raise ValueError("there is no value")
    if len(spans) == 1 and not text.lstrip().startswith("{"):
        return spans[0]
    if index >= len(spans):
        raise ValueError(f"{text!r} has no element {index}")
    return spans[index]


def read_number(text: str, entry: Entry, index: int = 0) -> float:
    """Return the number of a text in the unit of the entry's attribute.

    Raises:
        ValueError: the text is no number, or zero where its inverse is wanted.
    """
    start, end = element(text, index)
    match = NUMBER.fullmatch(text[start:end].strip())
    if match is None:
        raise ValueError(f"{text[start:end]!r} is no number")
    figure = float(match["figure"])
    if abs(figure) > _LARGEST:
        raise ValueError(f"{match['figure'][:20]} is too large for anything here")
    if entry.read_as == "duty":
        # both 0..1 and 0..255 are in use, and a value of 1 is full power in either
        return figure / 255 if figure > 1 else figure
    if entry.read_as == "byte":
        return _rounded(figure / 255)
    if entry.per:
        if figure == 0:
            raise ValueError("zero has no frequency")
        return _rounded(entry.scale / figure)
    if entry.read_as == "doublings":
        if not 0 <= figure <= _MOST_DOUBLINGS:
            raise ValueError(f"{figure:g} is no number of doublings")
        return float(entry.scale * 2**figure)
    return _rounded(figure * entry.scale)


def _rounded(figure: float) -> float:
    return float(f"{figure:.10g}")


def read_flag(text: str, entry: Entry, *, bare_says_yes: bool) -> bool:
    """Return a flag, which in some styles is set by being there without a value.

    Raises:
        ValueError: the text is neither.
    """
    word = text.strip().lower()
    if word in _OFF:
        return entry.invert
    if word in _ON or (bare_says_yes and not word):
        return not entry.invert
    raise ValueError(f"{text!r} is neither true nor false")


def read_word(text: str, words: Mapping[str, str | bool]) -> str | bool:
    """Return what a word means.

    Raises:
        ValueError: the word is not known.
    """
    found = words.get(text.strip())
    if found is None:
        found = words.get(text.strip().upper(), words.get(text.strip().lower()))
    if found is None:
        raise ValueError(f"{text!r} is not one of {', '.join(words)}")
    return found
