"""The headers of one machine: their lines, what they come to, and which one an include means."""

import posixpath
from collections.abc import Iterator, Sequence
from itertools import count, pairwise

from pincheck.model import limits
from pincheck.model.reading import NotSent
from pincheck.model.refusal import refusal
from pincheck.model.source import Source
from pincheck.readers.define.expansion import Expansion
from pincheck.readers.define.lines import Define, Directive, Line, Mention, lines
from pincheck.readers.define.table import Context, Table
from pincheck.readers.mistakes import Mistakes

Row = tuple[int, Define, Context, str | None]
"""One define as it was met: number of its file, the define, the undecided branches around it, and
the condition that keeps it out (None where none does)."""


SETS_NOTHING = frozenset(("env_validate.h",))
"""Headers that boards' own pins headers include only to refuse a wrong build (from memory)."""

_BOARD_PINS = frozenset(("X_STEP_PIN", "Y_STEP_PIN"))


def _sets_pins(lines: Sequence[Line]) -> bool:
    """Return whether a file is a board's own pins header, whole: one that sets the step pins.

    A header that includes another leaves some of its pins to that one.
    """
    set_ = {line.name for line in lines if isinstance(line, Define) and not line.commented}
    asked = {line.rest.text.strip('"<>').rpartition("/")[2] for line in lines
             if isinstance(line, Directive) and line.word == "include"}  # fmt: skip
    return set_ >= _BOARD_PINS and asked <= SETS_NOTHING


class Headers:
    """The headers, and what the run through them has come to so far.

    `rows` are the defines in the order met; `lost` maps the row of each that is certainly out of
    force to the row that took its place, None for an `#undef`. `met` are the files that the run
    has entered, `inside` those it has not left yet.
    """

    def __init__(self, sources: Sequence[Source]) -> None:
        self.sources = sources
        self.mistakes = [Mistakes(source) for source in sources]
        self.lines = list(self._lines())
        named = (Define, Mention)
        self.table = Table(
            {line.name for file in self.lines for line in file if isinstance(line, named)},
            any(map(_sets_pins, self.lines)),
        )
        self.expansion = Expansion(self.table)
        self.rows: list[Row] = []
        self.lost: dict[int, int | None] = {}
        self.not_sent: dict[str, NotSent] = {}
        self.met: list[int] = []
        self.inside: list[int] = []
        self.conditionals = count(1)

    def _lines(self) -> Iterator[list[Line]]:
        left = limits.DEFINE_LINES
        for source in self.sources:
            found = lines(source.text)
            if len(found) > left:
                bound = f"more than {limits.DEFINE_LINES:,} directives"
                raise refusal(source, found[left].start, bound)
            left -= len(found)
            yield found

    def target(self, source: Source, name: str) -> int | None:
        """Return the file that an include means, None where nobody sent it.

        It is looked for beside the file that asks, then from the top, then by its name alone:
        people send the files of one machine in one heap, without the folders they had.
        """
        name = name.replace("\\", "/")
        names = [other.name for other in self.sources]
        beside = posixpath.normpath(posixpath.join(posixpath.dirname(source.name), name))
        for wanted in (beside, posixpath.normpath(name)):
            if wanted in names:
                return names.index(wanted)
        last = posixpath.basename(name)
        alike = [at for at, other in enumerate(names) if posixpath.basename(other) == last]
        return alike[0] if len(alike) == 1 else None

    def guarded(self, number: int) -> bool:
        """Return whether a file takes care itself that it counts once only."""
        first = [line for line in self.lines[number][:5] if isinstance(line, Directive | Define)]
        return any(
            isinstance(line, Directive) and line.rest.text == "once" for line in first
        ) or any(
            isinstance(test, Directive)
            and isinstance(mark, Define)
            and (test.word, test.rest.text) == ("ifndef", mark.name)
            for test, mark in pairwise(first)
        )
