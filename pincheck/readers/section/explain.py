"""What is wrong with a line of the section style, in words that a printer owner understands."""

import re
from functools import cache

from lark import Lark, UnexpectedInput
from lark.exceptions import UnexpectedCharacters, UnexpectedToken

from pincheck import grammar
from pincheck.model import limits
from pincheck.readers.mistakes import Mistake, merge_mistake
from pincheck.readers.section.forms import COMMENT, FORMS, UNEXPLAINED

_STRAYS = (
    (re.compile(r"<[!/a-zA-Z]"), "markup of a web page, not configuration", FORMS),
    (re.compile(r"\{[%{]"), "a template line at the margin", "blanks in front of it"),
)
_TWO_WORDS = re.compile(r"(?=\S*_|\S+\s+\S*[\d!^:._])([A-Za-z_]\w*)\s+(\S+)")


@cache
def _grammar() -> Lark:
    return grammar.load("section")


def explain(line: str) -> Mistake:
    """Say what is wrong with a line, its indentation taken off, that is no setting."""
    if merge := merge_mistake(line):
        return merge
    for pattern, message, expected in _STRAYS:
        if pattern.match(line):
            return Mistake(0, message, expected)
    comment = COMMENT.search(line)
    code = line[: comment.start() if comment else len(line)].rstrip()[: limits.PROBLEM_CHARS]
    try:
        _grammar().parse(code)
    except UnexpectedInput as error:
        return _in_words(code, error)
    return UNEXPLAINED


def _in_words(code: str, error: UnexpectedInput) -> Mistake:
    at, expected = len(code), set[str]()
    if isinstance(error, UnexpectedCharacters):
        at, expected = error.pos_in_stream or 0, error.allowed
    elif isinstance(error, UnexpectedToken):
        expected = error.expected
        if error.token.type != "$END":
            at = error.token.start_pos or 0
    name = " ".join(code.strip("[]{}(): \t").split())
    if "CLOSE" in expected:
        return Mistake(at, "the section's name is not closed", "`]`", f"[{name}]", name)
    if "NAME" in expected:
        return Mistake(at, "the section has no name", "a name between `[` and `]`")
    if "SEPARATOR" in expected and code.endswith("]"):
        return Mistake(0, "the section's name is not opened", "`[`", f"[{name}]", name)
    if words := _TWO_WORDS.fullmatch(code):
        message = f"nothing separates {words[1]!r} from its value"
        nearest = f"{words[1]}: {words[2]}"
        return Mistake(words.end(1), message, "`:` between key and value", nearest)
    if code.isidentifier():
        return Mistake(at, f"{code!r} has no value", "`key: value`")
    if "KEY" in expected:
        missing = code[:1] in ":="
        message = "there is no key" if missing else f"no key begins with {code[:1]!r}"
        return Mistake(0, message, "`key: value`" if missing else FORMS)
    return UNEXPLAINED
