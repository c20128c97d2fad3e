"""How a style's files are told by their content, and which of them the firmware reads first."""

import re
from collections.abc import Iterator, Sequence
from posixpath import dirname, join, normpath
from typing import Protocol

from pincheck.model.source import Source

Starts = tuple[Source, ...]
"""The files of one machine where reading starts, in their order; the first is its main one."""

Counts = tuple[int, ...]
"""How many lines of each kind that a style tells its files by."""


class Names(Protocol):
    """Finds files by the paths that includes give."""

    def named(self, path: str, asked_by: Source) -> tuple[Source, ...]:
        """Return the files that a path means."""
        ...


class Files:
    """Signs of a style in a text, and the ways from its files to others.

    Texts in which signs are counted begin with a line feed: looking for it is many times as fast
    as `^` in a pattern. These values are those of files that ask for no others.
    """

    __slots__ = ()
    shown: str
    """What a text of the style shows, in words."""
    begins: str
    """Expression of how a line of any kind but a bare key begins, behind blanks: prose and logs, of
    which a folder may hold thousands, are told by it."""
    any: re.Pattern[str]
    """What a file has at least that is of the style at all."""
    main: re.Pattern[str]
    """What a main file holds and a fragment seldom does."""
    conventional: frozenset[str] = frozenset()
    """Names, in lower case, of the files that the firmware reads first."""
    starts_tell_all = False
    """Whether only reading tells which other files count beside those where it starts."""

    def counts(self, lines: str, among_sections: bool) -> Counts:
        """Return how much of the style a text holds; `among_sections`, a macro is none of it."""
        del among_sections
        return (len(self.any.findall(lines)),)

    def score(self, counts: Counts) -> int:
        """Return the weight of what was counted against that of other styles."""
        return 2 * sum(counts)

    def words(self, counts: Counts) -> str:
        """Return what was counted in words."""
        return f"{counts[0]} {self.shown}"

    def has_sections(self, lines: str) -> bool:
        """Return whether lines stand under headers, so that signs of other styles mean little."""
        del lines
        return False

    def bare(self, lines: str) -> tuple[Counts, str] | None:
        """Return counts, and what they are, of a text that begins no line as `begins` says."""
        del lines
        return None

    def output(self, lines: str, counts: Counts, of_others: int) -> str:
        """Return why a text is what a slicer made, empty where it is not.

        `counts` are those of the style, `of_others` the first counts of the others together.
        """
        del lines, counts, of_others
        return ""

    def entries(self, sources: Sequence[Source]) -> Iterator[Starts]:
        """Yield where reading starts in each machine among the files of the style."""
        yield from ((source,) for source in sources if self.main.search(source.text))

    def starts(self, main: Source, sources: Sequence[Source]) -> Starts:
        """Return where reading starts with a given main file."""
        del sources
        return (main,)

    def names(self, sources: Sequence[Source]) -> Names | None:
        """Return what finds the files that includes mean; None where a run alone can tell."""
        del sources
        return None

    def run(self, first: Starts, group: Sequence[Source]) -> Sequence[Source]:
        """Return which files of a style a run from the first ones on may come to."""
        del first
        return group

    def included(self, source: Source) -> Iterator[str]:
        """Yield the paths that a file's includes give, whatever the conditions around them."""
        del source
        yield from ()

    def asked(self, source: Source) -> Iterator[str]:
        """Yield patterns of the names, on the disk, that a single file can bring along."""
        beside = dirname(source.name)
        paths = list(self.included(source))
        yield from (normpath(join(beside, path)) for path in (*paths, *self.beside(source, paths)))

    def beside(self, source: Source, paths: Sequence[str]) -> Iterator[str]:
        """Yield what else may lie beside a file; `paths` are those that its includes give."""
        del source, paths
        yield from ()
