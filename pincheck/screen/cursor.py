"""Where the cursor stands on a page, and where each move takes it; free of the toolkit."""

from collections.abc import Iterable, Sequence

from rich.cells import cell_len

from pincheck.model.frozen import frozen
from pincheck.screen.page import PageLine


@frozen
class Position:
    """Where the cursor stands: line from 0 and run from 0."""

    y: int = 0
    x: int = 0


def target(page: Sequence[PageLine], position: Position | None) -> object:
    """Return what stands at a position, None for nothing."""
    if position is None or position.y >= len(page):
        return None
    line = page[position.y]
    return line[position.x].target if position.x < len(line) else None


def find(page: Sequence[PageLine], wanted: object) -> Position | None:
    """Return the first position of a target, None where the page has it not."""
    if wanted is None:
        return None
    for y, line in enumerate(page):
        for x, run in enumerate(line):
            if run.target == wanted:
                return Position(y, x)
    return None


def first(page: Sequence[PageLine]) -> Position | None:
    """Return the first position that one can stand on."""
    return _nearest(page, range(len(page)), 0)


def last(page: Sequence[PageLine]) -> Position | None:
    """Return the last line's first position that one can stand on."""
    return _nearest(page, range(len(page) - 1, -1, -1), 0)


def at(page: Sequence[PageLine], y: int, column: int) -> Position | None:
    """Return the position under a column of one line, None where it is plain text."""
    if not 0 <= y < len(page):
        return None
    end = 0
    for x, run in enumerate(page[y]):
        end += cell_len(run.text)
        if run.whole or (run.target is not None and column < end):
            return Position(y, x)
        if column < end:
            break
    return None


def across(page: Sequence[PageLine], position: Position, by: int) -> Position:
    """Return the next position of the same line, the same one at its end."""
    there = _stops(page[position.y])
    index = there.index(position.x) + by
    return Position(position.y, there[index]) if 0 <= index < len(there) else position


def down(page: Sequence[PageLine], position: Position, by: int) -> Position:
    """Return the position at least `by` lines below (above where negative), or the last one.

    Of several on its line it is the one nearest to the column that one comes from.
    """
    wanted = _column(page[position.y], position.x)
    step = 1 if by > 0 else -1
    aim = min(max(position.y + by, -1), len(page))
    ahead = range(aim, len(page) if by > 0 else -1, step)
    short_of_it = range(aim - step, position.y, -step)
    return _nearest(page, ahead, wanted) or _nearest(page, short_of_it, wanted) or position


def _nearest(page: Sequence[PageLine], lines: Iterable[int], wanted: int) -> Position | None:
    for y in lines:
        line = page[y]
        if there := _stops(line):
            return Position(y, min(there, key=lambda x: abs(_column(line, x) - wanted)))
    return None


def _stops(line: PageLine) -> list[int]:
    return [x for x, run in enumerate(line) if run.target is not None]


def _column(line: PageLine, x: int) -> int:
    return sum(cell_len(run.text) for run in line[:x])
