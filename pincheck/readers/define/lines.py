"""A header's text as logical lines: defines, commented-out defines and other directives.

One regular expression skips what says nothing (blank lines, comments) and takes apart the common
forms; a line with a continuation, a quote or a comment inside is taken apart piece by piece.
"""

import re
import sys
from bisect import bisect_right
from collections.abc import Iterator
from typing import NamedTuple

BLANKS = " \t\r\f\v\xa0"
_B = f"[{BLANKS}]"
_SPLICE = rf"\\{_B}*+\n"
_NO_SPLICE = rf"(?<!\\)(?<!\\{_B})(?<!\\{_B}{{2}})"


class Clean(NamedTuple):
    """Text without comments and continuations, and where its characters stand in the file.

    `places` are (offset in `text`, offset in the file) wherever the two run out of step.
    """

    text: str
    places: tuple[tuple[int, int], ...]

    def place(self, offset: int) -> int:
        """Return the offset in the file of an offset in `text`."""
        clean, source = self.places[bisect_right(self.places, (offset, sys.maxsize)) - 1]
        return source + offset - clean

    def end(self, offset: int) -> int:
        """Return the end in the file of what ends at `offset` in `text`."""
        return self.place(offset - 1) + 1 if offset else self.place(0)

    def after(self, offset: int) -> "Clean":
        """Return the part from `offset` on."""
        places = tuple((at - offset, source) for at, source in self.places)
        return Clean(self.text[offset:], places)


class DefineLine(NamedTuple):
    """A `#define`, commented out or not, with character offsets, ends exclusive.

    `value` is the text as written, `body` the same without comments and continuations;
    `parameters` is None for a macro without brackets.
    """

    name: str
    value: str
    start: int
    end: int
    key_start: int
    key_end: int
    value_start: int
    value_end: int
    commented: bool
    body: str
    parameters: tuple[str, ...] | None


class Directive(NamedTuple):
    """Any other directive: where its `#` is, its word and what follows."""

    start: int
    word: str
    rest: Clean

    @property
    def end(self) -> int:
        """Offset of the end in the file."""
        return self.rest.end(len(self.rest.text))


class Mention(NamedTuple):
    """A name whose define lies with others in a comment block: known, and switched off."""

    start: int
    name: str


class BrokenLine(NamedTuple):
    """What breaks the syntax of a line."""

    start: int
    end: int
    message: str
    expected: str


CONFLICT = ("<<<<<<<", "=======", ">>>>>>>")
"""What a version-control system leaves around two versions of the same lines."""

# a named tuple's own constructor takes three times as long, and there are thousands
_NEW = tuple.__new__

HeaderLine = DefineLine | Directive | Mention | BrokenLine


def _pieces(block: str) -> str:
    return rf"""
        (?P<plain> [^\n\\/"']++ )
      | (?P<text> "(?:[^"\\\n]++|{_SPLICE}|\\.)*+" | '(?:[^'\\\n]++|{_SPLICE}|\\.)*+' )
      | (?P<note> //(?:[^\\\n]++|{_SPLICE}|\\)*+ )
      | (?P<block> {block} )
      | (?P<splice> {_SPLICE} )
      | (?P<lone> [^\n] )"""


def _lines(block: str, skipped: str) -> re.Pattern[str]:
    pieces = re.sub(r"\?P<\w+>", "?:", _pieces(block))
    end = rf"(?: //.*+{_NO_SPLICE} )?+ (?:\n|\Z)"
    return re.compile(
        rf"""
        (?: {_B}*+ (?: //(?!/*+{_B}*+\#).*+{_NO_SPLICE} )?+ \n
          | {_B}*+ {skipped} {_B}*+ \n )*+
        (?: {_B}*+ ((?://+{_B}*+)?+\#{_B}*+define{_B}++) ([^\W\d]\w*+)
            (?: {_B}++ ([^\n\\/"']*+(?:"[^"\\\n]*+"[^\n\\/"']*+)*+) )?+ {end}
          | {_B}*+ (\#) {_B}*+ (\w*+) {_B}*+ ([^\n\\/"']*+) {end}
          | ((?:{pieces})*+) (?:\n|\Z) )""",
        re.VERBOSE,
    )


_CLOSED = r"/\*[^*]*+(?:\*(?!/)[^*]*+)*+\*/ | /\*[\s\S]*+"
_UNCLOSED = r"/\*[^\n]*+"
_LINES = _lines(_CLOSED, r"/\*[^*\#]*+(?:\*(?!/)[^*\#]*+)*+\*/")
_LINES_UNCLOSED = _lines(_UNCLOSED, r"/\*[^\n\#]*+")
_PIECES = re.compile(_pieces(_CLOSED), re.VERBOSE)
_PIECES_UNCLOSED = re.compile(_pieces(_UNCLOSED), re.VERBOSE)
_SPLICES = re.compile(_SPLICE)
# Names of settings are in capitals; prose with the word is not.
_LOST = re.compile(
    rf"({_B}*(define|undef){_B}+([A-Z][A-Z0-9]*_\w*+|[A-Z][A-Z0-9]{{2,}}+))(?!{_B}*[,.;:(]|\w)"
)
_DIRECTIVE = re.compile(r"\s*(#)\s*(\w*)\s*")
_DEFINE = re.compile(r"([^\W\d]\w*)(\([^()]*\))?\s*")
_PARAMETER = re.compile(r"[^\W\d]\w*(?:\s*\.\.\.)?|\.\.\.")
_NOTED = re.compile(rf"{_B}*(//+){_B}*\#{_B}*define{_B}")
_BLOCKED = re.compile(rf"{_B}*(/\*+){_B}*\#{_B}*define{_B}[^\n]*?(\*/)")
_DEFINES_IN_BLOCK = re.compile(rf"^{_B}*\#{_B}*define{_B}+(\w+)", re.MULTILINE)


def lines(text: str) -> list[HeaderLine]:
    """Return what the text's lines say, in order.

    A comment that is never closed counts to the end of its line only, so that the rest is read.
    """
    found: list[HeaderLine] = []
    opened = _read(text, 0, _LINES, _PIECES, found)
    if opened >= 0 and (after := text.find("\n", opened) + 1):
        _read(text, after, _LINES_UNCLOSED, _PIECES_UNCLOSED, found)
    return found


def _read(
    text: str,
    start: int,
    lines: re.Pattern[str],
    pieces: re.Pattern[str],
    found: list[HeaderLine],
) -> int:
    """Add what the lines say; return where a comment opens that nothing closes, else -1."""
    for line in lines.finditer(text, start):
        if name := line[2]:
            begin = line.start(1)
            key_start, key_end = line.span(2)
            if value := line[3]:
                value = value.rstrip(BLANKS)
                value_start = line.start(3)
                end = value_start + len(value)
            else:
                value, value_start, end = "", key_end, key_end
            noted = text[begin] == "/"
            fields = (
                name,
                value,
                begin,
                end,
                key_start,
                key_end,
                value_start,
                end,
                noted,
                value,
                None,
            )
            found.append(_NEW(DefineLine, fields))
        elif line[4]:
            word = line[5]
            rest = _NEW(Clean, (line[6].rstrip(BLANKS), ((0, line.start(6)),)))
            if word == "define":
                found += _directive(text, line.start(4), word, rest)
            else:
                found.append(_NEW(Directive, (line.start(4), word, rest)))
        elif line[7]:
            begin, end = line.span(7)
            if (mark := text[begin : begin + 7]) in CONFLICT:
                rest = Clean(text[begin + 7 : end].strip(), ((0, begin + 7),))
                found.append(Directive(begin, mark, rest))
            elif lost := _LOST.match(text, begin, end):
                message = f"the # in front of {lost[2]!r} is missing, so {lost[3]} is not set"
                found.append(
                    BrokenLine(lost.start(2), lost.end(3), message, f"#{lost[2]} {lost[3]}")
                )
            if text.find("#", begin, end) < 0 and text.find("/*", begin, end) < 0:
                continue
            opened = _slow(text, begin, end, pieces, found)
            if opened >= 0 and pieces is _PIECES:
                return opened
    return -1


def _slow(text: str, start: int, end: int, pieces: re.Pattern[str], found: list[HeaderLine]) -> int:
    """Do for one logical line of any form what `_read` does for all."""
    if noted := _NOTED.match(text, start, end):
        clean, _ = _clean(text, noted.end(1), end, _PIECES)
        found += _commented(text, noted.start(1), clean)
        return -1
    if blocked := _BLOCKED.match(text, start, end):
        clean, _ = _clean(text, blocked.end(1), blocked.start(2), _PIECES)
        for define in _commented(text, blocked.start(1), clean):
            found.append(define._replace(end=blocked.end(2)))
    elif text.find("/*", start, end) >= 0:
        for shown in _DEFINES_IN_BLOCK.finditer(text, start, end):
            found.append(Mention(shown.start(1), shown[1]))
    clean, opened = _clean(text, start, end, pieces)
    if opened >= 0 and pieces is _PIECES:
        message = "this comment is never closed"
        found.append(BrokenLine(opened, opened + 2, message, "*/ where it ends"))
    if word := _DIRECTIVE.match(clean.text):
        found += _directive(text, clean.place(word.start(1)), word[2], clean.after(word.end()))
    return opened


def _clean(text: str, start: int, end: int, pieces: re.Pattern[str]) -> tuple[Clean, int]:
    """Return a stretch without comments and continuations, and where one opens for good."""
    parts: list[str] = []
    places = [(0, start)]
    length, opened = 0, -1
    for piece in pieces.finditer(text, start, end):
        part, kind = piece[0], piece.lastgroup
        if kind == "block" and (len(part) < 4 or not part.endswith("*/")):
            opened = piece.start()
        if kind in ("note", "block"):
            part = " "
        elif kind in ("splice", "text"):
            part = _SPLICES.sub("", part)
        places.append((length, piece.start()))
        parts.append(part)
        length += len(part)
    return Clean("".join(parts).rstrip(BLANKS), tuple(places)), opened


def _directive(text: str, start: int, word: str, rest: Clean) -> Iterator[HeaderLine]:
    if word != "define":
        yield Directive(start, word, rest)
        return
    form = _DEFINE.match(rest.text)
    if form is None:
        bare = "no name" if not rest.text else f"{rest.text.split()[0]!r}, which is no name"
        end = rest.end(len(rest.text))
        yield BrokenLine(
            start, end, f"this #define gives {bare}", "a name that begins with a letter"
        )
        return
    yield from _faults(rest, form)
    yield _define(text, start, rest, form, commented=False)


def _commented(text: str, start: int, clean: Clean) -> Iterator[DefineLine]:
    word = _DIRECTIVE.match(clean.text)
    rest = clean.after(word.end() if word else 0)
    if form := _DEFINE.match(rest.text):
        yield _define(text, start, rest, form, commented=True)


def _define(
    text: str, start: int, rest: Clean, form: re.Match[str], *, commented: bool
) -> DefineLine:
    body = rest.text[form.end() :]
    key_end = rest.end(form.end(1))
    last = rest.end(form.end(2)) if form[2] else key_end
    begin, end = (rest.place(form.end()), rest.end(len(rest.text))) if body else (last, last)
    inside = form[2][1:-1].strip() if form[2] else ""
    names = tuple(name.strip() for name in inside.split(",")) if inside else ()
    return DefineLine(
        form[1],
        text[begin:end],
        start,
        end,
        rest.place(0),
        key_end,
        begin,
        end,
        commented,
        body,
        None if form[2] is None else names,
    )


def _faults(rest: Clean, form: re.Match[str]) -> Iterator[BrokenLine]:
    """Yield what is wrong with a define that has a name."""
    after = rest.text[form.end(1) : form.end(1) + 1]
    at, end = rest.place(form.end(1)), rest.end(len(rest.text))
    if form[2]:
        inside = form[2][1:-1].strip()
        if inside and not all(_PARAMETER.fullmatch(name.strip()) for name in inside.split(",")):
            yield BrokenLine(
                at, end, f"({inside}) are no parameters of a macro", "names with commas"
            )
    elif after == "(":
        yield BrokenLine(at, end, "the bracket after the name is never closed", ")")
    elif after and not after.isspace():
        message = f"the name {form[1]} ends at {after!r}: what follows counts as its value"
        yield BrokenLine(at, end, message, "a name of letters, digits and _ only")
        return
    for piece in _PIECES_UNCLOSED.finditer(rest.text, form.end()):
        if piece.lastgroup == "lone" and piece[0] in "\"'":
            quote = rest.place(piece.start())
            yield BrokenLine(
                quote, end, "the text in quotes is never closed", f"{piece[0]} at its end"
            )
            return
