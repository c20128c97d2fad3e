"""Numbers, flags and words to the user's own spelling."""

from collections.abc import Mapping

from pincheck.claims.entry import Entry
from pincheck.claims.numbers import NUMBER, element, elements

_WHOLE_FROM = 100
"""From here on a number in a smaller unit, as milliampere, is written without decimals."""


def spell_number(value: float, old: str, entry: Entry, index: int = 0) -> str:
    """Return `old` with its number replaced.

    Raises:
        ValueError: the entry cannot express the value.
    """
    if entry.read_as == "doublings":
        raise ValueError("a frequency in steps of two cannot be written freely")
    figure = entry.scale / value if entry.per else value / entry.scale
    start, end = element(old, index) if elements(old) else (0, len(old))
    match = NUMBER.fullmatch(old[start:end].strip())
    was = match["figure"] if match else ""
    # 1 is full power of either range, so only a larger old value tells that this is of 255
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
    # the user's manner, `1.0` or `1.` or `.5`, stays: some readers take `1` for another type
    if "." in was and "." not in text:
        text += "." if was.endswith(".") else ".0"
    if was.lstrip("+-").startswith("."):
        text = text.replace("0.", ".", 1) if text.lstrip("-").startswith("0.") else text
    if match:
        inner = old[start:end].replace(was, text, 1)
        return old[:start] + inner + old[end:]
    return text


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


def spell_word(value: str | bool, words: Mapping[str, str | bool]) -> str:
    """Return the first word that means `value`.

    Raises:
        ValueError: none does.
    """
    for word, meaning in words.items():
        if meaning == value and isinstance(meaning, bool) == isinstance(value, bool):
            return word
    raise ValueError(f"there is no word for {value!r}")
