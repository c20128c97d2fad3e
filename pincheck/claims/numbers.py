"""Numbers, flags and words as users write them, to values and back."""

import re
from collections.abc import Mapping

from pincheck.claims.entry import Entry
from pincheck.model.setting import Style

_NUMBER = re.compile(
    r"(?P<open>\(*)\s*(?P<figure>[-+]?(?:\d++\.?\d*+|\.\d++)(?:[eE][-+]?\d++)?)\s*(?P<tail>[fFuUlL]*)\)*"
)
_ELEMENT = re.compile(r"[^{},:\s](?:[^{},:]*[^{},:\s])?")
_LARGEST = 1e12
_MOST_DOUBLINGS = 16
_WHOLE_FROM = 100
"""From here on a number in a smaller unit, as milliampere, is written without decimals."""
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
    match = _NUMBER.fullmatch(text[start:end].strip())
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


def spell_number(value: float, old: str, entry: Entry, index: int = 0) -> str:
    """Return `old` with its number replaced.

    Raises:
        ValueError: the entry cannot express the value.
    """
    if entry.read_as == "doublings":
        raise ValueError("a frequency in steps of two cannot be written freely")
    figure = entry.scale / value if entry.per else value / entry.scale
    start, end = element(old, index) if elements(old) else (0, len(old))
    match = _NUMBER.fullmatch(old[start:end].strip())
    was = match["figure"] if match else ""
    if entry.read_as == "duty":
        of_255 = round(value * 255) if was and float(was) > 1 else 0
        figure = of_255 if of_255 > 1 else value
    if entry.read_as == "byte":
        figure = round(value * 255)
    elif entry.scale != 1 and not entry.per and abs(figure) >= _WHOLE_FROM:
        figure = round(figure)
    text = f"{figure:.10g}"
    if "e" in text:
        text = f"{figure:.12f}".rstrip("0").rstrip(".")
    if "." in was and "." not in text:
        text += "." if was.endswith(".") else ".0"
    if was.lstrip("+-").startswith("."):
        text = text.replace("0.", ".", 1) if text.lstrip("-").startswith("0.") else text
    if match:
        inner = old[start:end].replace(was, text, 1)
        return old[:start] + inner + old[end:]
    return text


def _rounded(figure: float) -> float:
    return float(f"{figure:.10g}")


def read_flag(text: str, entry: Entry, style: Style) -> bool:
    """Return a flag; in the define style, to be there without a value is to be set.

    Raises:
        ValueError: the text is neither.
    """
    word = text.strip().lower()
    if word in _OFF:
        return entry.invert
    if word in _ON or (style == "define" and not word):
        return not entry.invert
    raise ValueError(f"{text!r} is neither true nor false")


def spell_flag(value: bool, old: str, entry: Entry) -> str:
    """Return a flag in the words and letter case of `old`.

    Raises:
        ValueError: `old` has no value to replace, as a define without one.
    """
    if not old.strip():
        raise ValueError("a flag without a value is set by being there")
    wanted = value != entry.invert
    pairs = (("true", "false"), ("on", "off"), ("yes", "no"), ("1", "0"))
    word = old.strip()
    pair = next((pair for pair in pairs if word.lower() in pair), pairs[0])
    text = pair[0] if wanted else pair[1]
    if word.isupper():
        return text.upper()
    return text.capitalize() if word.istitle() else text


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


def spell_word(value: str | bool, words: Mapping[str, str | bool]) -> str:
    """Return the first word that means `value`.

    Raises:
        ValueError: none does.
    """
    for word, meaning in words.items():
        if meaning == value and isinstance(meaning, bool) == isinstance(value, bool):
            return word
    raise ValueError(f"there is no word for {value!r}")
