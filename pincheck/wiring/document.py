"""A TOML file with the place of every key and value.

`tomllib` gives the values and no places, the grammar gives the places and no values.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any, cast

from attrs import field, frozen
from lark import Lark, Token
from lark.exceptions import UnexpectedCharacters, UnexpectedInput, UnexpectedToken

from pincheck import resources
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span
from pincheck.wiring.limits import MAX_DEPTH, MAX_ENTRIES
from pincheck.wiring.syntax import Node, Pair, Shape, Table, TooDeepError, expected_words

KeyPath = tuple[str | int, ...]

_TOMLLIB_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


@frozen
class Entry:
    """Where a key stands and where its value does; of a table the value is its header."""

    key: Span
    value: Span


@frozen(slots=False)
class Document:
    """The values of one TOML file and the place of each.

    A key path leads from the root to a value: `("nets", "HEAT0", "chip_pin")`, with numbers from
    0 for the items of lists and arrays of tables.
    """

    source: Source
    values: Mapping[str, Any] = field(repr=False)
    entries: Mapping[KeyPath, Entry] = field(repr=False)

    def key(self, path: KeyPath) -> Span:
        """Return the span of the key at `path`, or of the nearest table around it."""
        return self._entry(path).key

    def value(self, path: KeyPath) -> Span:
        """Return the span of the value at `path`, or of the nearest table around it."""
        return self._entry(path).value

    def get(self, path: KeyPath) -> Any:
        """Return the value at `path`.

        Raises:
            LookupError: there is none.
        """
        found: Any = self.values
        for step in path:
            found = found[step]
        return found

    def problem(
        self,
        path: KeyPath,
        message: str,
        *,
        expected: str = "",
        nearest: str = "",
        on_key: bool = False,
    ) -> Problem:
        """Return a problem that points at the value (or key) at `path`."""
        span = self.key(path) if on_key else self.value(path)
        return Problem(
            file=self.source.name,
            message=message,
            span=span,
            text=self.source.line(span.line),
            expected=expected,
            nearest=nearest,
        )

    def _entry(self, path: KeyPath) -> Entry:
        while path and path not in self.entries:
            path = path[:-1]
        if path:
            return self.entries[path]
        top = self.source.span(0, 0)
        return Entry(top, top)


def parse(source: Source) -> Document:
    """Return the values and places of a TOML source.

    Raises:
        UnreadableError: the text is no TOML, or goes past a bound of `limits`.
    """
    # Line ends tell where a statement stops; one more at the end moves no offset.
    try:
        parsed: object = _parser().parse(source.text + "\n")
    except TooDeepError as error:
        message = f"lists and tables are nested deeper than {MAX_DEPTH}"
        raise _unreadable(source, error.position, message) from None
    except UnexpectedInput as error:
        raise _unreadable(source, *_describe(error, source)) from None
    try:
        values = tomllib.loads(source.text)
    except tomllib.TOMLDecodeError as error:
        raise _unreadable(source, *_describe_value(error, source)) from None
    entries = dict[KeyPath, Entry]()
    for path, entry in _walk(source, cast(list[Pair | Table], parsed)):
        entries.setdefault(path, entry)
        if len(entries) > MAX_ENTRIES:
            raise _unreadable(source, entry.key.start, f"more than {MAX_ENTRIES} keys and items")
    return Document(source, values, entries)


@lru_cache(maxsize=1)
def _parser() -> Lark:
    text = (resources.folder("grammars") / "toml.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", transformer=Shape())


def _walk(source: Source, statements: list[Pair | Table]) -> Iterator[tuple[KeyPath, Entry]]:
    here: KeyPath = ()
    counts: dict[KeyPath, int] = {}
    for statement in statements:
        if isinstance(statement, Pair):
            yield from _pair(source, here, statement)
            continue
        here = ()
        header = source.span(statement.start, statement.end)
        for at, token in enumerate(statement.key):
            here = (*here, _name(token))
            entry = Entry(source.span(token.start_pos or 0, token.end_pos or 0), header)
            yield here, entry
            if statement.repeated and at == len(statement.key) - 1:
                counts[here] = counts.get(here, 0) + 1
            if here in counts:
                here = (*here, counts[here] - 1)
                yield here, entry


def _pair(source: Source, here: KeyPath, pair: Pair) -> Iterator[tuple[KeyPath, Entry]]:
    value = source.span(pair.value.start, pair.value.end)
    for token in pair.key:
        here = (*here, _name(token))
        yield here, Entry(source.span(token.start_pos or 0, token.end_pos or 0), value)
    yield from _inside(source, here, pair.value)


def _inside(source: Source, here: KeyPath, node: Node) -> Iterator[tuple[KeyPath, Entry]]:
    for pair in node.pairs:
        yield from _pair(source, here, pair)
    for number, item in enumerate(node.items):
        span = source.span(item.start, item.end)
        yield (*here, number), Entry(span, span)
        yield from _inside(source, (*here, number), item)


def _name(token: Token) -> str:
    if token.type == "BARE_KEY":
        return str(token)
    return str(tomllib.loads(f"k = {token}")["k"])


def _unreadable(source: Source, at: int, message: str, expected: str = "") -> UnreadableError:
    span = source.span(at, at)
    text = source.line(span.line)
    return UnreadableError((Problem(source.name, message, span, text, expected, fatal=True),))


def _describe(error: UnexpectedInput, source: Source) -> tuple[int, str, str]:
    at = min(error.pos_in_stream or 0, len(source.text))
    line_end = len(source.line(source.span(at, at).line)) + at - source.span(at, at).column + 1
    found = printable(source.text[at : max(line_end, at)].strip()[:20])
    terminals = (
        error.allowed
        if isinstance(error, UnexpectedCharacters)
        else error.accepts or error.expected
        if isinstance(error, UnexpectedToken)
        else ()
    )
    message = f"this is not TOML: {found!r} cannot stand here" if found else "this line breaks off"
    return at, message, expected_words(terminals or ())


def _describe_value(error: tomllib.TOMLDecodeError, source: Source) -> tuple[int, str]:
    text = str(error)
    place = _TOMLLIB_PLACE.search(text)
    text = text[: place.start()] if place else text
    twice = "twice" in text or "overwrite" in text or "mutate" in text
    message = (
        "this key or table is given twice" if twice else f"this is not TOML: {printable(text)}"
    )
    if place is None or place[1] is None:
        return len(source.text), message
    starts = [0, *(found.end() for found in re.finditer("\n", source.text))]
    return min(starts[int(place[1]) - 1] + int(place[2]) - 1, len(source.text)), message
