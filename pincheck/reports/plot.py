"""Charts drawn with characters: axes, units, curves and limits, and their figures in rows."""

import math
from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter
from typing import Literal

from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.reports.charts import Chart
from pincheck.reports.glyphs import Glyphs

Stroke = Literal["blank", "axis", "first", "second", "limit", "mark"]
"""What a run of characters draws: nothing, an axis with its words, a curve, a limit, `at_x`."""

Drawn = tuple[tuple[str, Stroke], ...]
"""One line of a plot: runs of characters with what each draws; joined they are plain text."""

GUTTER = 8
"""Columns for the figures of the y axis and the axis itself."""

COLUMN = 9
"""Columns of a figure beside a plot."""

_CURVES: tuple[Stroke, ...] = ("first", "second")


@frozen
class Scale:
    """Maps values to cells: `low` to the first, `high` to the last of `cells`."""

    low: float
    high: float
    cells: int

    def cell(self, value: float) -> int | None:
        """Return the cell of a value, None outside."""
        if not self.low <= value <= self.high:
            return None
        return round((value - self.low) / (self.high - self.low) * (self.cells - 1))

    def value(self, cell: int) -> float:
        """Return the value in the middle of a cell."""
        return self.low + (self.high - self.low) * cell / max(self.cells - 1, 1)


def ticks(low: float, high: float, most: int) -> list[float]:
    """Return the round values from `low` to `high`, at most `most` of them (at least two)."""
    rough = max(high - low, 1e-9) / max(most, 2)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * n for n in (1, 2, 2.5, 5, 10) if power * n >= rough * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [n * step for n in range(first, last + 1)]


def plot(
    chart: Chart, width: int, height: int, glyphs: Glyphs, at_x: float | None = None
) -> Iterator[Drawn]:
    """Yield a chart in `width` columns and `height` lines; `at_x` is marked upright."""
    xs = [x for series in chart.series for x, _ in series.points]
    ys = [y for series in chart.series for _, y in series.points]
    ys += [level for level, _ in chart.levels]
    # One line names y, one is the x axis, one has its figures, one is the key.
    rows = max(height - 4, 4)
    # A flat curve has no height of its own: half a unit keeps it off the frame.
    room = max((max(ys) - min(ys)) * 0.05, 0.5)
    low, high = min(ys) - room, max(ys) + room
    across = Scale(min(xs), max(xs), max(width - GUTTER - 1, 10))
    upright = Scale(low, high, rows)
    grid = _grid(chart, across, upright, glyphs, at_x)
    labels = {upright.cell(tick): f"{tick:g}" for tick in ticks(low, high, rows // 2)}
    yield ((f" {chart.y_name}, {chart.y_unit}", "axis"),)
    for row in range(rows - 1, -1, -1):
        yield (f"{labels.get(row, ''):>{GUTTER - 2}} {glyphs.down}", "axis"), *_runs(grid[row])
    base = " " * (GUTTER - 1) + glyphs.axis_corner + glyphs.axis_across * across.cells
    yield ((base, "axis"),)
    yield ((_x_labels(across, chart), "axis"),)
    yield ((_key(chart, glyphs)[:width], "axis"),)


def _grid(
    chart: Chart, across: Scale, upright: Scale, glyphs: Glyphs, at_x: float | None
) -> list[list[tuple[str, Stroke]]]:
    """Return the cells, lowest row first; what is drawn later covers what was drawn before."""
    grid: list[list[tuple[str, Stroke]]] = [
        [(" ", "blank")] * across.cells for _ in range(upright.cells)
    ]
    for level, _ in chart.levels:
        if (row := upright.cell(level)) is not None:
            grid[row] = [(glyphs.limit, "limit")] * across.cells
    marks: list[tuple[float, Stroke]] = [(x, "limit") for x, _ in chart.marks]
    if at_x is not None:
        marks.append((at_x, "mark"))
    for mark, ink in marks:
        if (column := across.cell(mark)) is not None:
            for line in grid:
                line[column] = (glyphs.down, ink)
    for series, glyph, ink in zip(chart.series, glyphs.curves, _CURVES, strict=False):
        last: int | None = None
        for column in range(across.cells):
            y = series.at(across.value(column))
            here = upright.cell(y) if y is not None else None
            if here is None:
                last = None
                continue
            # A steep curve is drawn as a run of cells, else it would fall apart.
            low, high = (here, here) if last is None else sorted((here, _beside(last, here)))
            for part in range(low, high + 1):
                grid[part][column] = (glyph, ink)
            last = here
    return grid


def _beside(last: int, row: int) -> int:
    return last + 1 if row > last else last - 1 if row < last else row


def _runs(cells: list[tuple[str, Stroke]]) -> Iterator[tuple[str, Stroke]]:
    for ink, run in groupby(cells, key=itemgetter(1)):
        yield "".join(glyph for glyph, _ in run), ink


def _x_labels(across: Scale, chart: Chart) -> str:
    """Return the line under the x axis: figures where they do not touch, the unit at its end."""
    unit = f" {chart.x_name}, {chart.x_unit}"
    line = [" "] * (GUTTER + across.cells)
    free_from, end = 0, GUTTER + across.cells - len(unit)
    for tick in ticks(across.low, across.high, max(across.cells // 8, 2)):
        cell, label = across.cell(tick), f"{tick:g}"
        if cell is None:
            continue
        start = GUTTER + cell - len(label) // 2
        if start >= free_from and start + len(label) <= end:
            line[start : start + len(label)] = label
            free_from = start + len(label) + 2
    line[end:] = unit
    return "".join(line)


def _key(chart: Chart, glyphs: Glyphs) -> str:
    parts = [f"{glyph} {s.name}" for glyph, s in zip(glyphs.curves, chart.series, strict=False)]
    parts += [f"{glyphs.limit} {y:g} {chart.y_unit} {name}" for y, name in chart.levels if name]
    parts += [f"{glyphs.down} {x:g} {chart.x_unit} {name}" for x, name in chart.marks]
    return printable(" " + "  ".join(parts))


@frozen
class FigureRow:
    """The values of a chart at one x, as a row of a table; `over` names a limit met there."""

    x: float
    text: str
    over: str


def heads(chart: Chart) -> str:
    """Return the line over the rows of figures."""
    columns = "".join(f"{series.short:>{COLUMN}}" for series in chart.series)
    return f" {chart.x_unit:>6}{columns} {chart.y_unit}"


def figures(chart: Chart) -> Iterator[FigureRow]:
    """Yield a row at even steps of x, at the marks, and at the end."""
    points = chart.series[0].points
    low, high = points[0][0], points[-1][0]
    even = (low + n * chart.step for n in range(int((high - low) / chart.step + 1e-9) + 1))
    for x in sorted({*even, *(mark for mark, _ in chart.marks), high}):
        values = [series.at(x) for series in chart.series]
        shown = "".join(" " * COLUMN if y is None else f"{y:>{COLUMN}.1f}" for y in values)
        over = _over(chart, values[0], x)
        yield FigureRow(x, printable(f" {x:>6.0f}{shown} {over}"), over)


def _over(chart: Chart, first: float | None, x: float) -> str:
    for mark, name in chart.marks:
        if x == mark:
            return f"< {name}"
    for level, name in chart.levels:
        if level and first is not None and first > level:
            return f"> {name}"
    return ""
