"""A TOML file with the place of every key and value.

`tomllib` gives the values and no places, the scan gives the places and no values, and says what is
wrong wherever it can.
"""

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span
from pincheck.toml.scan import BrokenError, KeyPath, Offsets, Scanner

_TOMLLIB_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_TWICE = re.compile("twice|overwrite|mutate")


@frozen(slots=False)
class Document:
    """The values of one TOML file and the place of each.

    `places` has the offsets of the key and of the value at each path; of a table the value is its
    header. `problems` tell of lines that are no TOML and were left out, `broken` are the keys on
    them.
    """

    source: Source
    values: Mapping[str, Any]
    places: Mapping[KeyPath, tuple[Offsets, Offsets]]
    problems: tuple[Problem, ...] = ()
    broken: frozenset[str] = frozenset()

    def key(self, path: KeyPath) -> Span:
        """Return the span of the key at `path`, or of the nearest table around it."""
        return self.source.span(*self._place(path)[0])

    def value(self, path: KeyPath) -> Span:
        """Return the span of the value at `path`, or of the nearest table around it."""
        return self.source.span(*self._place(path)[1])

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

    def _place(self, path: KeyPath) -> tuple[Offsets, Offsets]:
        while path and path not in self.places:
            path = path[:-1]
        return self.places[path] if path else ((0, 0), (0, 0))


@lru_cache(maxsize=16)
def parse(source: Source) -> Document:
    """Return the values and places of a TOML source; one board is named by many assemblies.

    A broken line is noted and left out, a broken header with all that follows it up to the next.

    Raises:
        UnreadableError: the text is no TOML from some place on, or goes past a bound of `limits`.
    """
    _check_size(source)
    text = source.text
    problems: list[Problem] = []
    broken: list[str] = []
    while True:
        try:
            places, values = _read(text)
            break
        except BrokenError as error:
            # Each reading costs as much as the file is long: many bad lines in a long one end it.
            again = (
                len(problems) < limits.WIRING_BROKEN
                and (len(problems) + 1) * len(text) < limits.WIRING_REREAD
            )
            rest = _left_out(text, error) if again else None
            span = source.span(error.position, error.position)
            line = source.line(span.line)
            problems.append(
                Problem(
                    source.name,
                    error.message,
                    span,
                    line,
                    error.expected,
                    error.nearest,
                    fatal=rest is None,
                )
            )
            if rest is None:
                raise UnreadableError(tuple(problems)) from None
            broken.append(line.partition("=")[0].strip())
            text = rest
    if len(places) > limits.WIRING_ENTRIES:
        message = f"more than {limits.WIRING_ENTRIES} keys and items"
        key, _ = list(places.values())[limits.WIRING_ENTRIES]
        problem = Problem(source.name, message, source.span(*key), fatal=True)
        raise UnreadableError((*problems, problem))
    return Document(source, values, places, tuple(problems), frozenset(broken))


def _check_size(source: Source) -> None:
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


def _read(text: str) -> tuple[dict[KeyPath, tuple[Offsets, Offsets]], dict[str, Any]]:
    scanner = Scanner(text)
    scanner.run()  # first, for it bounds the depth in which `tomllib` recurses
    try:
        return scanner.places, tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = _TOMLLIB_PLACE.search(str(error))
        words = str(error)[: place.start()] if place else str(error)
        message = f"this is not TOML: {printable(words)}"
        message = "this key or table is given twice" if _TWICE.search(words) else message
        position = len(text)
        if place and place[1]:
            starts = [0, *(found.end() for found in re.finditer("\n", text))]
            position = min(starts[int(place[1]) - 1] + int(place[2]) - 1, position)
        statement = scanner.statements[bisect_right(scanner.statements, position) - 1]
        raise BrokenError(position, statement, message) from None


def _left_out(text: str, error: BrokenError) -> str | None:
    """Return the text without the broken line, None where more than the line is broken."""
    start = text.rfind("\n", 0, error.position) + 1
    if start > error.statement:
        return None
    end = text.find("\n", error.position)
    end = len(text) if end < 0 else end
    if text[start:end].lstrip().startswith("["):
        header = re.compile(r"^[ \t]*\[", re.MULTILINE).search(text, end)
        end = header.start() if header else len(text)
    blank = re.sub(r"[^\r\n]", " ", text[start:end])
    return text[:start] + blank + text[end:] if blank != text[start:end] else None
