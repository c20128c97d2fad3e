"""One line of a script to commands, each with its letters and values."""

import re
from collections.abc import Iterator
from itertools import takewhile
from typing import Literal

from pincheck.model.frozen import frozen
from pincheck.readers.mistakes import Mistake

Form = Literal["none", "quoted", "list", "bare", "expression"]

_FILLER = re.compile(r"(?:\s|\([^()\n]*\))*+")
_LINE_NUMBER = re.compile(r"[Nn]\d+\s*")
_CHECKSUM = re.compile(r"\*\d+\s*\Z")
_COMMAND = re.compile(
    r"([GMgm])(\d{1,9}(?:\.\d{1,9})?)(?![oO])|([Tt])(-?\d+(?![\w.])|(?=\s*(?:;|\{|\Z)))"
)
_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+|E[-+]\d+)?"
_WORD = re.compile(
    r"(?P<escape>')?(?P<letter>[A-Za-z])(?:\s+(?=[\"{]|[-+]?\.?\d))?(?:"
    r'"(?P<quoted>(?:[^"\n]|"")*)"'
    rf"|(?P<list>{_NUMBER}(?::{_NUMBER})*+)(?=[\s;(]|\Z|'?[A-Za-z](?:[-+.\d\"{{!^\s]|\Z))"
    r'|(?P<bare>[^\s;"{(]*+))'
)
_PIECE = re.compile(r'"(?:[^"\n]|"")*"|[{}]|[^{}"\s;]+|[\s;]')
_PROSE = re.compile(r"[a-z]+[,.!?]?")
_STRAY = "words that belong to no command"
_REMARK_MARK = "`;` in front of a remark"
_OPEN_QUOTE = "a quote is not closed"
_FREE_TEXT = frozenset(("M23", "M30", "M32", "M36", "M38", "M117"))


@frozen
class CommandWord:
    """One letter of a command with its value; all offsets are those of the file's text.

    `value_start` to `value_end` is the value without quotes, `end` is behind the closing quote.
    """

    key: str
    start: int
    key_end: int
    value_start: int
    value_end: int
    end: int
    form: Form


@frozen
class Command:
    """One command, `name` in upper case without leading zeros; `mistake` counts from `start`."""

    name: str
    start: int
    end: int
    words: tuple[CommandWord, ...] = ()
    mistake: Mistake | None = None


def commands(text: str, start: int, end: int) -> Iterator[Command]:
    """Yield the commands of `text[start:end]`, one line without its indentation.

    Yields nothing for a line that does not begin with a command. Two commands may stand on a
    line: `G` or `M` with a number begins the next one.
    """
    if checksum := _CHECKSUM.search(text, max(start, end - 8), end):
        end = checksum.start()
    at = _skip(text, start, end)
    if number := _LINE_NUMBER.match(text, at, end):
        at = number.end()
    while at < end and (head := _COMMAND.match(text, at, end)):
        command = _command(text, head, end)
        yield command
        at = _skip(text, command.words[-1].end if command.words else command.end, end)
        if command.mistake:
            return


def is_remark(text: str, start: int, end: int) -> bool:
    """Whether a line holds nothing but remarks and perhaps a line number."""
    number = _LINE_NUMBER.match(text, start, end)
    at = _skip(text, number.end() if number else start, end)
    return at >= end or text[at] == ";"


def _skip(text: str, at: int, end: int) -> int:
    filler = _FILLER.match(text, at, end)
    return filler.end() if filler else at


def _command(text: str, head: re.Match[str], end: int) -> Command:
    letter, number = head[1] or head[3], head[2] or head[4] or ""
    whole, dot, part = number.partition(".")
    name = letter.upper() + (whole.lstrip("0") or whole[:1]) + dot + part
    at = head.end()
    if name in _FREE_TEXT:
        return _free_text(text, name, head, end)
    words: list[CommandWord] = []
    mistake = None
    while True:
        if head[3] and not words and at < end and text[at] == "{":
            word, mistake = _braced(text, "", at, at, at, end)
        else:
            at = _skip(text, at, end)
            if at >= end or text[at] == ";" or _is_command(text, at, end):
                break
            word, mistake = _word(text, at, end, letter.isupper())
            if word and _is_prose(text, word) and any(word.key == it.key for it in words):
                mistake = Mistake(0, _STRAY, _REMARK_MARK)
        if mistake or word is None:
            break
        words.append(word)
        at = word.end
    if mistake:
        if mistake.message == _OPEN_QUOTE:
            # One quote too few pairs all later ones wrongly: nothing behind the first counts.
            words = list(takewhile(lambda word: word.form != "quoted", words))
        while words and _is_prose(text, words[-1]):
            words.pop()
        mistake = Mistake(at + mistake.at - head.start(), mistake.message, mistake.expected)
    return Command(name, head.start(), head.end(), tuple(words), mistake)


def _is_command(text: str, at: int, end: int) -> bool:
    return text[at] in "GMgm" and _COMMAND.match(text, at, end) is not None


def _is_prose(text: str, word: CommandWord) -> bool:
    return word.form == "bare" and text[word.value_start : word.value_end].isalpha()


def _free_text(text: str, name: str, head: re.Match[str], end: int) -> Command:
    start = _skip(text, head.end(), end)
    semicolon = text.find(";", start, end)
    stop = start + len(text[start : semicolon if semicolon >= 0 else end].rstrip())
    word = CommandWord("", start, start, start, stop, stop, "quoted")
    return Command(name, head.start(), head.end(), (word,) if stop > start else ())


def _word(text: str, at: int, end: int, upper: bool) -> tuple[CommandWord | None, Mistake | None]:
    """Return the word at `at`, or what is wrong there; `upper` is the command's own case."""
    found = _WORD.match(text, at, end)
    if found is None:
        return None, Mistake(0, _STRAY, _REMARK_MARK)
    letter = found["letter"]
    key = letter if found["escape"] else letter.upper()
    key_end = found.end("letter")
    if found["quoted"] is not None:
        start, stop = found.span("quoted")
        return CommandWord(key, at, key_end, start, stop, found.end(), "quoted"), None
    if found["list"] is not None and text[found.end() : found.end() + 1] != "{":
        start, stop = found.span("list")
        return CommandWord(key, at, key_end, start, stop, stop, "list"), None
    start, stop = found.start("bare"), found.end()
    if start < 0:
        start = found.start("list")
    follows = text[stop : stop + 1] if stop < end else ""
    if follows == "{":
        return _braced(text, key, at, key_end, start, end)
    if follows == '"':
        return None, Mistake(stop - at, _OPEN_QUOTE, '`"` at the end of the text')
    value = text[start:stop]
    if upper and letter.islower() and letter not in "cp" and _PROSE.fullmatch(value):
        return None, Mistake(0, _STRAY, _REMARK_MARK)
    if not value:
        return CommandWord(key, at, key_end, key_end, key_end, key_end, "none"), None
    return CommandWord(key, at, key_end, start, stop, stop, "bare"), None


def _braced(
    text: str, key: str, at: int, key_end: int, start: int, end: int
) -> tuple[CommandWord | None, Mistake | None]:
    """Return the word at `at` whose value, from `start` on, holds expressions in braces."""
    stop, depth = start, 0
    for piece in _PIECE.finditer(text, start, end):
        # A lone quote is no piece: the search steps over it and leaves a gap.
        if piece.start() > stop or (depth == 0 and piece[0][0] in ' \t\r;"'):
            break
        depth += {"{": 1, "}": -1}.get(piece[0], 0)
        stop = piece.end()
    if depth > 0:
        return None, Mistake(start - at, "an expression is not closed", "`}` at its end")
    return CommandWord(key, at, key_end, start, stop, stop, "expression"), None
