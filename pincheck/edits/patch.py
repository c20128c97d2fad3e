"""Edits applied in memory: sources before and after, and the difference as text."""

import difflib
from collections.abc import Iterable, Iterator, Sequence

from pincheck.model.finding import Edit
from pincheck.model.printable import printable
from pincheck.model.source import Source


class OverlapError(ValueError):
    """Two edits want the same characters."""


def patched(sources: Sequence[Source], edits: Iterable[Edit]) -> tuple[Source, ...]:
    """Return the sources with the edits applied, untouched ones as they are.

    Raises:
        OverlapError: two different edits touch the same characters.
        UnicodeEncodeError: a replacement cannot be written in the file's encoding.
    """
    by_source: dict[str, set[Edit]] = {}
    for edit in edits:
        by_source.setdefault(edit.source, set()).add(edit)
    return tuple(
        _patch(source, sorted(by_source[source.name], key=lambda e: (e.start, e.end)))
        if source.name in by_source
        else source
        for source in sources
    )


def overlapping(one: Edit, other: Edit) -> bool:
    """Tell whether two edits cannot both be applied: equal ones can, they count once."""
    if one.source != other.source or one == other:
        return False
    if one.start == other.start:
        return True
    return max(one.start, other.start) < min(one.end, other.end)


def _patch(source: Source, edits: list[Edit]) -> Source:
    pieces, at, raw = [], 0, source.raw
    for edit in edits:
        if edit.start < at or not edit.start <= edit.end <= len(raw):
            raise OverlapError(f"{source.name}: two edits meet at character {edit.start}")
        pieces += [raw[at : edit.start], edit.replacement]
        at = edit.end
    return source.with_raw("".join((*pieces, raw[at:])))


def diff(before: Sequence[Source], after: Sequence[Source], context: int = 2) -> Iterator[str]:
    """Yield the lines of a unified diff (POSIX `diff -u`), safe to show on a terminal."""
    for old, new in zip(before, after, strict=True):
        if old.text == new.text:
            continue
        for line in difflib.unified_diff(
            _lines(old),
            _lines(new),
            f"{old.name} (now)",
            f"{new.name} (edited)",
            "",
            "",
            context,
            "",
        ):
            yield printable(line)


def _lines(source: Source) -> list[str]:
    return [line.rstrip("\r") for line in source.text.split("\n")]
