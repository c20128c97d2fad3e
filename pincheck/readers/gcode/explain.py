"""What is wrong with a line of a script, in words that a printer owner understands."""

import re

from pincheck.readers.mistakes import Mistake, merge_mistake

_FORMS = "a command such as `M106 P1`, or `;` in front of a remark"
_STRAYS = (
    (re.compile(r"<[!/a-zA-Z]"), "markup of a web page, not a script", _FORMS),
    (re.compile(r"\[[\w ]+\]"), "a section's header, which no script has", _FORMS),
    (re.compile(r"//|#"), "a remark in another language's spelling", "`;` in front of a remark"),
)
_LETTER_O = re.compile(r"([GM])([oO\d]+)\b")
_SPACED = re.compile(r"([GMgm])\s+(\d+)\b")
_LETTERS_ALONE = re.compile(r"[A-Z][-+\d.\"{]")


def explain(line: str) -> Mistake:
    """Say what is wrong with a line, its indentation taken off, that begins with no command."""
    if merge := merge_mistake(line):
        return merge
    for pattern, message, expected in _STRAYS:
        if pattern.match(line):
            return Mistake(0, message, expected)
    if spaced := _SPACED.match(line):
        nearest = f"{spaced[1]}{spaced[2]}"
        return Mistake(0, "a blank stands inside the command", "no blank", nearest)
    if (letters := _LETTER_O.match(line)) and "o" in letters[2].lower():
        nearest = letters[1] + re.sub("[oO]", "0", letters[2])
        return Mistake(0, "a letter O stands where a zero belongs", "a number", nearest)
    if _LETTERS_ALONE.match(line):
        return Mistake(0, "letters without a command in front of them", _FORMS)
    return Mistake(0, "words that are no command and no remark", _FORMS)
