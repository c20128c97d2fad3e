"""Where every key and value of a TOML text stands, and what was expected where there is none.

A text that passes may still break a rule that places do not show: escapes, dates that no calendar
has, a table given twice. `tomllib` names those, and gives the values.
"""

import re
import tomllib

from pincheck.model import limits
from pincheck.model.printable import printable

KeyPath = tuple[str | int, ...]
"""From the root to a value: `("nets", "HEAT0", "chip_pin")`; items of lists count from 0."""

Offsets = tuple[int, int]

_BASIC = r'"(?!"")(?:[^"\\\n]++|\\.)*+"'
_LITERAL = r"'(?!'')[^'\n]*+'"
_DATE = r"\d{4}-\d\d-\d\d(?:[Tt ]\d\d:\d\d:\d\d(?:\.\d+)?(?:[Zz]|[+-]\d\d:\d\d)?)?"
_TIME = r"\d\d:\d\d:\d\d(?:\.\d+)?"
_DIGITS = r"\d(?:_?\d)*"
_WHOLE = r"(?:0|[1-9](?:_?\d)*)"
_FLOAT = rf"[+-]?(?:inf|nan|{_WHOLE}(?:\.{_DIGITS}(?:[eE][+-]?{_DIGITS})?|[eE][+-]?{_DIGITS}))"
_INTEGER = (
    r"0x[0-9A-Fa-f](?:_?[0-9A-Fa-f])*|0o[0-7](?:_?[0-7])*|0b[01](?:_?[01])*" rf"|[+-]?{_WHOLE}"
)
_SCALAR = re.compile(
    r'"""(?:[^"\\]++|\\[\s\S]|"{1,2}(?!"))*+"{3,5}'
    r"|'''(?:[^']++|'{1,2}(?!'))*+'{3,5}"
    rf"|{_BASIC}|{_LITERAL}"
    rf"|(?:true|false|{_DATE}|{_TIME}|{_FLOAT}|{_INTEGER})(?=[\s,\]}}#]|\Z)",
    re.ASCII,
)
_NAME = re.compile(rf"[ \t]*([A-Za-z0-9_-]+|{_BASIC}|{_LITERAL})[ \t]*")
_BLANKS = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\r\n]++|#[^\n]*+)*+")
_LINE_END = re.compile(r"[ \t]*(?:#[^\n]*)?(?:\r?\n|\Z)")
_WORD = re.compile(r"[^\s\[\]{},#=\"']*")
_COMMA_NUMBER = re.compile(r"([+-]?\d+),(\d+)\s*(?:#|$)", re.ASCII | re.MULTILINE)
_MEASURE = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)) *[^\W\d_]*%?", re.ASCII)

_A_KEY = 'a key: letters, digits, _ and -, or text in "quotes"'
_A_VALUE = 'a value: a number, text in "quotes", true, false, a [list] or a {table}'
_A_STATEMENT = "a [table] or key = value"
_FLAGS = {"true": "true", "yes": "true", "on": "true"} | dict.fromkeys(
    ("false", "no", "off"), "false"
)


class BrokenError(Exception):
    """A place where a text stops being TOML, and the start of the statement that it is in."""

    def __init__(
        self, position: int, statement: int, message: str, expected: str = "", nearest: str = ""
    ) -> None:
        super().__init__(message)
        self.position = position
        self.statement = statement
        self.message = message
        self.expected = expected
        self.nearest = nearest


class Scanner:
    """Goes once through a text.

    `places` has the offsets of key and value of every path, a table's header for its value;
    `statements` are the starts of all lines that say something.
    """

    def __init__(self, text: str) -> None:
        self.text = text
        self.places: dict[KeyPath, tuple[Offsets, Offsets]] = {}
        self.statements: list[int] = [0]
        self._at = 0
        self._table: KeyPath = ()
        self._counts: dict[KeyPath, int] = {}
        self._headers: dict[KeyPath, int] = {}

    def run(self) -> None:
        """Find every place.

        Raises:
            BrokenError: the text is no TOML or nested past the bound.
        """
        self._skip(_GAP)
        while self._at < len(self.text):
            self.statements.append(self._at)
            if self._stands("["):
                self._header()
                value = self._at
            else:
                value = self._pair(self._table, _A_STATEMENT)[0]
            end = _LINE_END.match(self.text, self._at)
            if end is None:
                raise self._unexpected("the end of the line", self._meant(value))
            self._at = end.end()
            self._skip(_GAP)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self._at)
        self._at = found.end() if found else self._at

    def _stands(self, mark: str) -> bool:
        return self.text.startswith(mark, self._at)

    def _header(self) -> None:
        start = self._at
        closing = "]]" if self._stands("[[") else "]"
        self._at += len(closing)
        names = self._key(closing, _A_KEY)
        header = (start, self._at)
        path: KeyPath = ()
        for number, (name, span) in enumerate(names, 1):
            path = (*path, name)
            self.places.setdefault(path, (span, header))
            if closing == "]]" and number == len(names):
                self._counts[path] = self._counts.get(path, -1) + 1
            if path in self._counts:
                path = (*path, self._counts[path])
                self.places.setdefault(path, (span, header))
        if closing == "]" and self._headers.setdefault(path, start) != start:
            first = self._first(self._headers[path])
            raise BrokenError(start, start, "this table is given twice", first)
        self._table = path

    def _first(self, position: int) -> str:
        line = self.text.count("\n", 0, position) + 1
        return f"one of them: the first is on line {line}"

    def _key(self, closing: str, expected: str) -> list[tuple[str, Offsets]]:
        """Return the names of a dotted key with their places, and go past what closes it."""
        names: list[tuple[str, Offsets]] = []
        while not names or self._stands("."):
            self._at += bool(names)
            found = _NAME.match(self.text, self._at)
            if found is None:
                word = self._word()
                raise self._unexpected(expected, f'"{word}"' if word.isalnum() else "")
            if len(names) == limits.WIRING_DEPTH:
                raise self._too_deep()
            names.append((_text(found[1]), found.span(1)))
            self._at = found.end()
        if not self._stands(closing):
            if closing == "=":
                raise self._unexpected("= after the key", "=" if self._stands(":") else "")
            written = self.text[self.statements[-1] : self._at].rstrip()
            raise self._unexpected(closing, written.rstrip("]") + closing)
        self._at += len(closing)
        return names

    def _pair(self, table: KeyPath, expected: str) -> Offsets:
        """Go past `key = value` and return where the value stands."""
        keys: list[tuple[KeyPath, Offsets]] = []
        path = table
        for name, span in self._key("=", expected):
            path = (*path, name)
            keys.append((path, span))
        if path in self.places:
            first = self._first(self.places[path][0][0])
            position = keys[-1][1][0]
            raise BrokenError(position, self.statements[-1], "this key is given twice", first)
        value = self._value(path)
        for known, span in keys:
            self.places.setdefault(known, (span, value))
        return value

    def _value(self, path: KeyPath) -> Offsets:
        self._skip(_BLANKS)
        start = self._at
        if len(path) > limits.WIRING_DEPTH:
            raise self._too_deep()
        if self._stands("["):
            self._items(path, "]", _GAP)
        elif self._stands("{"):
            self._items(path, "}", _BLANKS)
        else:
            found = _SCALAR.match(self.text, start)
            if found is None:
                raise self._no_value()
            self._at = found.end()
        return start, self._at

    def _items(self, path: KeyPath, closing: str, gap: re.Pattern[str]) -> None:
        """Go past a list or an inline table, which takes no comma before its end."""
        listed = closing == "]"
        number = 0
        self._at += 1
        self._skip(gap)
        comma = False
        while not self._stands(closing) or (comma and not listed):
            if number and not comma:
                raise self._unexpected(f"{closing} or a comma")
            if listed:
                span = self._value((*path, number))
                self.places[*path, number] = (span, span)
            else:
                self._pair(path, _A_KEY)
            number += 1
            self._skip(gap)
            comma = self._stands(",")
            self._at += comma
            self._skip(gap)
        self._at += 1

    def _word(self) -> str:
        self._skip(_BLANKS)
        found = _WORD.match(self.text, self._at)
        return found[0] if found else ""

    def _unexpected(self, expected: str, nearest: str = "") -> BrokenError:
        self._skip(_BLANKS)
        line = self.text[self._at : self._at + 20].partition("\n")[0].strip()
        message = f"this is not TOML: {printable(line)!r} cannot stand here"
        message = message if line else "this line breaks off"
        nearest = printable(nearest) if len(nearest) <= limits.WIRING_TEXT else ""
        return BrokenError(self._at, self.statements[-1], message, expected, nearest)

    def _too_deep(self) -> BrokenError:
        message = f"lists and tables are nested deeper than {limits.WIRING_DEPTH}"
        return BrokenError(self._at, self.statements[-1], message)

    def _no_value(self) -> BrokenError:
        for quote in ('"""', "'''", '"', "'"):
            if self._stands(quote):
                message = "this text has no closing quote"
                return BrokenError(self._at, self.statements[-1], message, quote)
        word = self._word()
        plain = word.strip("“”„‘’")
        flag = _FLAGS.get(plain.lower(), "")
        measure = self._meant(self._at)
        return self._unexpected(_A_VALUE, flag or measure or (plain and f'"{plain}"'))

    def _meant(self, start: int) -> str:
        """Return the number that was meant from `start` on, with a comma or a unit of its own."""
        comma = _COMMA_NUMBER.match(self.text, start)
        if comma:
            return f"{comma[1]}.{comma[2]}"
        measure = _MEASURE.match(self.text, start)
        whole = measure and _LINE_END.match(self.text, measure.end())
        return f"{float(measure[1]):.12g}" if measure and whole else ""


def _text(written: str) -> str:
    if written[0] not in "\"'":
        return written
    try:
        return str(tomllib.loads(f"k = {written}")["k"])
    except tomllib.TOMLDecodeError:
        return written  # a wrong escape, which is told of the whole text
