"""The records of a CSV text, with the place of each field (RFC 4180, `,` or `;` between fields).

The standard library's reader tells no places, joins text behind a closing quote to the field, and
takes whatever lies between two stray quotes for one field without a word.
"""

import re
from collections.abc import Iterator

from pincheck.model.frozen import frozen

_SEPARATORS = ",;"
"""Spreadsheets write a semicolon in countries where the comma stands in numbers."""


class UnclosedError(Exception):
    """A quoted field is never closed: what follows belongs to nobody; `at` is its offset."""

    def __init__(self, at: int) -> None:
        super().__init__("this quoted field is never closed")
        self.at = at


@frozen
class CsvRecord:
    """One record: its first line, how many lines it takes, its fields and their offsets.

    `odd` says what is wrong with the quotes of one field, at the offset `odd_at`.
    """

    line: int
    lines: int
    fields: tuple[str, ...]
    places: tuple[int, ...]
    odd: str = ""
    odd_at: int = 0


def records(text: str) -> Iterator[CsvRecord]:
    """Yield every record of a text of which each line ends in a line feed or CR and LF.

    A quote opens a field only as its first character.

    Raises:
        UnclosedError: see there.
    """
    separator = _separator(text)
    field = re.compile(rf'"([^"]*(?:""[^"]*)*)"([^{separator}\n]*)|([^{separator}\n]*)')
    at, line, columns = 0, 1, 0
    while at < len(text):
        start, fields, places, odd = at, [], [], ("", 0)
        while True:
            found = field.match(text, at)
            assert found  # an empty field matches everywhere
            if found[1] is None and found[3].startswith('"'):
                raise UnclosedError(at)
            if found[1] is not None and (why := _odd(found[1], found[2], separator, columns)):
                odd = why, at
            places.append(at)
            fields.append(found[3] if found[1] is None else found[1].replace('""', '"'))
            at = found.end() + 1
            if text[at - 1 : at] != separator:
                break
        fields[-1] = fields[-1].removesuffix("\r")
        lines = text.count("\n", start, at) or 1
        yield CsvRecord(line, lines, tuple(fields), tuple(places), *odd)
        columns = columns or len(fields)
        line += lines


def _odd(quoted: str, behind: str, separator: str, columns: int) -> str:
    if behind.strip():
        return f"{behind.strip()[:20]!r} stands behind the quote that closes this field"
    for line in quoted.split("\n")[1:] if columns > 1 else ():
        if line.count(separator) == columns - 1:
            return f"this quoted field runs over what looks like a line of its own: {line[:60]!r}"
    return ""


def _separator(text: str) -> str:
    """Return what parts the first line that holds anything: the sign it has most of."""
    first = text.lstrip().partition("\n")[0]
    return max(_SEPARATORS, key=first.count)
