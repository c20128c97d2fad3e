"""The headers of one machine: their lines, what they come to, and which one an include means."""

import posixpath
import re
from collections.abc import Iterator, Sequence
from itertools import count, pairwise

from pincheck.model import limits
from pincheck.model.problem import Problem, refusal
from pincheck.model.reading import NotSent
from pincheck.model.source import Source
from pincheck.readers.define.expansion import Expansion
from pincheck.readers.define.lines import DefineLine, Directive, HeaderLine, Mention, lines
from pincheck.readers.define.table import Context, Table
from pincheck.readers.mistakes import Mistakes

MetDefine = tuple[int, DefineLine, Context, str | None]
"""One define as it was met: number of its file, the define, the undecided branches around it, and
the condition that keeps it out (None where none does)."""


SETS_NOTHING = frozenset(("env_validate.h",))
"""Headers that boards' own pins headers include only to refuse a wrong build (from memory)."""

_BOARD_PINS = frozenset(("X_STEP_PIN", "Y_STEP_PIN"))


def _sets_pins(lines: Sequence[HeaderLine]) -> bool:
    """Return whether a file is a board's own pins header, whole: one that sets the step pins.

    A header that includes another leaves some of its pins to that one.
    """
    set_ = {line.name for line in lines if isinstance(line, DefineLine) and not line.commented}
    asked = {line.rest.text.strip('"<>').rpartition("/")[2] for line in lines
             if isinstance(line, Directive) and line.word == "include"}  # fmt: skip
    return set_ >= _BOARD_PINS and asked <= SETS_NOTHING


# Sought by its literal beginning: that is many times as fast as `^` in a pattern.
_INCLUDES = re.compile(r"include(?:_next)?[ \t]*[\"<]([^\">\n]+)")
_HASH = re.compile(r"[ \t]*#[ \t]*")
_PINS = re.compile(r"pins(?:_\w+)?\.h(?:pp)?", re.IGNORECASE)


def includes(source: Source) -> Iterator[str]:
    """Yield the paths that a header's includes name, whether or not they are reached."""
    text = source.text
    for match in _INCLUDES.finditer(text):
        if _HASH.fullmatch(text, text.rfind("\n", 0, match.start()) + 1, match.start()):
            yield match[1]


class HeaderFiles:
    """The headers at hand by their names; nothing else is ever looked at.

    A path leads from the including header's folder, else from the top; else its name alone will
    do: people send the files of one machine in one heap, without the folders they had.
    """

    def __init__(self, sources: Sequence[Source]) -> None:
        self._by_name = {source.name: source for source in sources}
        self._by_base: dict[str, list[Source]] = {}
        for source in sources:
            self._by_base.setdefault(posixpath.basename(source.name), []).append(source)

    def named(self, path: str, asked_by: Source) -> tuple[Source, ...]:
        """Return the header that an include means; empty if nobody sent it."""
        name = path.replace("\\", "/")
        if len(name) > limits.PATH_CHARS:
            return ()
        beside = posixpath.normpath(posixpath.join(posixpath.dirname(asked_by.name), name))
        for wanted in (beside, posixpath.normpath(name)):
            if wanted in self._by_name:
                return (self._by_name[wanted],)
        alike = self._by_base.get(posixpath.basename(name), [])
        return (alike[0],) if len(alike) == 1 else ()


class Headers:
    """The headers, and what the run through them has come to so far.

    Reading starts at each of `starts`. `rows` are the defines in the order met; `lost` maps the
    row of each that is certainly out of force to the row that took its place, None for an
    `#undef`. `closed` are the conditionals by number: the branches that may be taken, and whether
    one of them surely is; `refused` those branches in which the build stops. `met` are the files
    that the run has entered, `inside` those it has not left yet.
    """

    def __init__(
        self,
        sources: Sequence[Source],
        starts: Sequence[Source] = (),
        others: Sequence[Source] = (),
    ) -> None:
        self.sources = (*sources, *others)
        self.starts = [self.sources.index(source) for source in starts or sources]
        self._files = HeaderFiles(self.sources)
        self._numbers = {id(source): number for number, source in enumerate(self.sources)}
        self._lines: dict[int, list[HeaderLine]] = {}
        self._left = limits.DEFINE_LINES
        self.mistakes = [Mistakes(source) for source in self.sources]
        self.table = Table(set())
        self._know_names()
        self.expansion = Expansion(self.table)
        self.rows: list[MetDefine] = []
        self.lost: dict[int, int | None] = {}
        self.not_sent: dict[str, NotSent] = {}
        self.problems: list[Problem] = []
        self.met: list[int] = []
        self.inside: list[int] = []
        self.conditionals = count(1)
        self.closed: dict[int, tuple[set[int], bool]] = {}
        self.refused: set[tuple[int, int]] = set()

    def _know_names(self) -> None:
        """Note the names in all headers that may be reached, not taking those of other boards."""
        waiting = list(self.starts)
        while waiting:
            number = waiting.pop(0)
            if number in self._lines:
                continue
            self.lines(number)
            source = self.sources[number]
            if not _PINS.fullmatch(posixpath.basename(source.name)):
                found = (self.target(source, path) for path in includes(source))
                waiting += (it for it in found if it is not None)
        self.table.all_pins = any(_sets_pins(self._lines[number]) for number in self.starts)

    def lines(self, number: int) -> list[HeaderLine]:
        """Return the lines of a header, which then counts against the bounds.

        Raises:
            UnreadableError: all headers together have more than any machine's.
        """
        if number not in self._lines:
            source = self.sources[number]
            found = self._lines[number] = lines(source.text)
            if len(found) > self._left:
                bound = f"more than {limits.DEFINE_LINES:,} directives"
                raise refusal(source, found[self._left].start, bound)
            self._left -= len(found)
            named = (DefineLine, Mention)
            self.table.mentioned.update(line.name for line in found if isinstance(line, named))
        return self._lines[number]

    def enter(self, number: int) -> None:
        """Note that the run has come to a header."""
        self.met.append(number)
        self.inside.append(number)
        self.table.all_pins = self.table.all_pins or _sets_pins(self.lines(number))

    def target(self, source: Source, name: str) -> int | None:
        """Return the file that an include means, None where nobody sent it."""
        return next((self._numbers[id(it)] for it in self._files.named(name, source)), None)

    def guarded(self, number: int) -> bool:
        """Return whether a file takes care itself that it counts once only."""
        first = [
            line for line in self.lines(number)[:5] if isinstance(line, Directive | DefineLine)
        ]
        return any(
            isinstance(line, Directive) and line.rest.text == "once" for line in first
        ) or any(
            isinstance(test, Directive)
            and isinstance(mark, DefineLine)
            and (test.word, test.rest.text) == ("ifndef", mark.name)
            for test, mark in pairwise(first)
        )
