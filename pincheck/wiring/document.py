"""A TOML file with the place of every key and value.

`tomllib` gives the values and no places, the scan gives the places and no values; where either
stops, the grammar tells what is wrong.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from attrs import field, frozen

from pincheck.model import limits
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span
from pincheck.wiring.scan import statements as scanned
from pincheck.wiring.statement import BrokenError, Name, Node, Pair, Table

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
    0 for the items of lists and arrays of tables. `problems` tell of lines that are no TOML and
    were left out, `broken` are the keys on them.
    """

    source: Source
    values: Mapping[str, Any] = field(repr=False)
    entries: Mapping[KeyPath, Entry] = field(repr=False)
    problems: tuple[Problem, ...] = ()
    broken: frozenset[str] = frozenset()

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

    A broken line is noted and left out, a broken header with all that follows it up to the next.

    Raises:
        UnreadableError: the text is no TOML from some place on, or goes past a bound of `limits`.
    """
    text = source.text
    if len(text) > limits.WIRING_BYTES:
        message = f"larger than {limits.WIRING_BYTES // 1024} KiB: this is no wiring or vocabulary"
        raise UnreadableError((Problem(source.name, message, fatal=True),))
    longest = max(text.split("\n"), key=len)
    if len(longest) > limits.LINE_CHARS:
        at = text.find(longest)
        message = f"a line has {len(longest):,} characters"
        expected = f"at most {limits.LINE_CHARS:,}"
        problem = Problem(
            source.name, message, source.span(at, at + 1), longest[:60], expected, fatal=True
        )
        raise UnreadableError((problem,))
    problems: list[Problem] = []
    broken: list[str] = []
    while True:
        try:
            statements, values = _read(text)
            break
        except BrokenError as error:
            again = (
                len(problems) < limits.WIRING_BROKEN
                and (len(problems) + 1) * len(text) < limits.WIRING_REREAD
            )
            rest = _left_out(text, error.position) if again else None
            span = source.span(error.position, error.position)
            line = source.line(span.line)
            problems.append(
                Problem(source.name, error.message, span, line, error.expected, fatal=rest is None)
            )
            if rest is None:
                raise UnreadableError(tuple(problems)) from None
            broken.append(line.partition("=")[0].strip())
            text = rest
    entries = dict[KeyPath, Entry]()
    for path, entry in _walk(source, statements):
        entries.setdefault(path, entry)
        if len(entries) > limits.WIRING_ENTRIES:
            message = f"more than {limits.WIRING_ENTRIES} keys and items"
            problem = Problem(source.name, message, entry.key, fatal=True)
            raise UnreadableError((*problems, problem))
    return Document(source, values, entries, tuple(problems), frozenset(broken))


def trusted(source: Source) -> Document:
    """Return the values of a file of the package's own, every place given as the file's start.

    Places are worked out only where the file is broken.
    """
    try:
        return Document(source, tomllib.loads(source.text), {})
    except tomllib.TOMLDecodeError:
        return parse(source)


def _read(text: str) -> tuple[list[Pair | Table], dict[str, Any]]:
    try:
        # In this order: the scan bounds the depth in which `tomllib` recurses.
        return list(scanned(text)), tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        if _is_twice(error):
            raise BrokenError(*_describe_value(error, text)) from None
    except ValueError:
        pass
    return _read_by_grammar(text)


def _read_by_grammar(text: str) -> tuple[list[Pair | Table], dict[str, Any]]:
    """Read a text in which something is wrong, and say what."""
    from pincheck.wiring import syntax

    statements = syntax.statements(text)
    try:
        return statements, tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BrokenError(*_describe_value(error, text)) from None


def _left_out(text: str, position: int) -> str | None:
    """Return the text without the line at `position`, None where more than the line is broken."""
    from pincheck.wiring import syntax

    start = text.rfind("\n", 0, position) + 1
    try:
        syntax.statements(text[:start])
    except BrokenError:
        return None
    end = text.find("\n", position)
    end = len(text) if end < 0 else end
    if text[start:end].lstrip().startswith("["):
        header = re.compile(r"^[ \t]*\[", re.MULTILINE).search(text, end)
        end = header.start() if header else len(text)
    blank = re.sub(r"[^\r\n]", " ", text[start:end])
    return text[:start] + blank + text[end:] if blank != text[start:end] else None


def _walk(source: Source, statements: list[Pair | Table]) -> Iterator[tuple[KeyPath, Entry]]:
    here: KeyPath = ()
    counts: dict[KeyPath, int] = {}
    for statement in statements:
        if isinstance(statement, Pair):
            yield from _pair(source, here, statement)
            continue
        here = ()
        header = source.span(statement.start, statement.end)
        for at, name in enumerate(statement.key):
            here = (*here, _text(name))
            entry = Entry(source.span(name.start, name.end), header)
            yield here, entry
            if statement.repeated and at == len(statement.key) - 1:
                counts[here] = counts.get(here, 0) + 1
            if here in counts:
                here = (*here, counts[here] - 1)
                yield here, entry


def _pair(source: Source, here: KeyPath, pair: Pair) -> Iterator[tuple[KeyPath, Entry]]:
    value = source.span(pair.value.start, pair.value.end)
    for name in pair.key:
        here = (*here, _text(name))
        yield here, Entry(source.span(name.start, name.end), value)
    yield from _inside(source, here, pair.value)


def _inside(source: Source, here: KeyPath, node: Node) -> Iterator[tuple[KeyPath, Entry]]:
    for pair in node.pairs:
        yield from _pair(source, here, pair)
    for number, item in enumerate(node.items):
        span = source.span(item.start, item.end)
        yield (*here, number), Entry(span, span)
        yield from _inside(source, (*here, number), item)


def _text(name: Name) -> str:
    if name.written[0] not in "\"'":
        return name.written
    return str(tomllib.loads(f"k = {name.written}")["k"])


def _is_twice(error: tomllib.TOMLDecodeError) -> bool:
    return any(word in str(error) for word in ("twice", "overwrite", "mutate"))


def _describe_value(error: tomllib.TOMLDecodeError, text: str) -> tuple[int, str]:
    words = str(error)
    place = _TOMLLIB_PLACE.search(words)
    words = words[: place.start()] if place else words
    message = (
        "this key or table is given twice"
        if _is_twice(error)
        else f"this is not TOML: {printable(words)}"
    )
    if place is None or place[1] is None:
        return len(text), message
    starts = [0, *(found.end() for found in re.finditer("\n", text))]
    return min(starts[int(place[1]) - 1] + int(place[2]) - 1, len(text)), message
