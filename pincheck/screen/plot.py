"""Charts drawn with characters: axes, units, curves and limits."""

import math
from collections.abc import Iterator

from attrs import frozen

from pincheck.screen.glyphs import Glyphs
from pincheck.screen.page import Line, Piece, Tone, text
from pincheck.screen.series import Chart
from pincheck.screen.write_up import fit, paragraph

GUTTER = 8
"""Columns for the figures of the y axis and the axis itself."""

COLUMN = 9
"""Columns of a figure beside a plot."""

_TONES: tuple[Tone, ...] = ("danger", "advice")


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
) -> Iterator[Line]:
    """Yield a chart in `width` columns and `height` lines; `at_x` is marked upright."""
    xs = [x for series in chart.series for x, _ in series.points]
    ys = [y for series in chart.series for _, y in series.points]
    ys += [level for level, _ in chart.levels]
    rows = max(height - 4, 4)
    room = max((max(ys) - min(ys)) * 0.05, 0.5)
    low, high = min(ys) - room, max(ys) + room
    across = Scale(min(xs), max(xs), max(width - GUTTER - 1, 10))
    upright = Scale(low, high, rows)
    grid = _grid(chart, across, upright, glyphs, at_x)
    labels = {upright.cell(tick): f"{tick:g}" for tick in ticks(low, high, rows // 2)}
    yield text(f" {chart.y_name}, {chart.y_unit}", "dim")
    for row in range(rows - 1, -1, -1):
        label = f"{labels.get(row, ''):>{GUTTER - 2}} {glyphs.down}"
        yield (Piece(label, "dim"), *_pieces(grid[row]))
    base = " " * (GUTTER - 1) + glyphs.axis_corner + glyphs.axis_across * across.cells
    yield text(base, "dim")
    yield text(_x_labels(across, chart), "dim")
    yield from _key(chart, glyphs, width)


Cell = tuple[str, Tone]


def _grid(
    chart: Chart, across: Scale, upright: Scale, glyphs: Glyphs, at_x: float | None
) -> list[list[Cell]]:
    grid: list[list[Cell]] = [[(" ", "")] * across.cells for _ in range(upright.cells)]
    for level, _ in chart.levels:
        if (row := upright.cell(level)) is not None:
            grid[row] = [(glyphs.limit, "fault")] * across.cells
    marks: list[tuple[float | None, Tone]] = [(x, "fault") for x, _ in chart.marks]
    marks.append((at_x, "strong"))
    for mark, tone in marks:
        column = across.cell(mark) if mark is not None else None
        if column is not None:
            for line in grid:
                line[column] = (glyphs.down, tone)
    for number, series in enumerate(chart.series):
        cell = glyphs.curves[number], _TONES[number]
        last: int | None = None
        for column in range(across.cells):
            y = series.at(across.value(column))
            row_ = upright.cell(y) if y is not None else None
            if row_ is None:
                last = None
                continue
            # A steep curve is drawn as a run of cells, else it would fall apart.
            low, high = (row_, row_) if last is None else sorted((row_, _beside(last, row_)))
            for part in range(low, high + 1):
                grid[part][column] = cell
            last = row_
    return grid


def _beside(last: int, row: int) -> int:
    return last + 1 if row > last else last - 1 if row < last else row


def _pieces(cells: list[Cell]) -> Iterator[Piece]:
    start = 0
    for column in range(1, len(cells) + 1):
        if column == len(cells) or cells[column][1] != cells[start][1]:
            run = "".join(glyph for glyph, _ in cells[start:column])
            yield Piece(run, cells[start][1])
            start = column


def _x_labels(across: Scale, chart: Chart) -> str:
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
    line[max(end, free_from) :] = unit
    return "".join(line)


def _key(chart: Chart, glyphs: Glyphs, width: int) -> Iterator[Line]:
    parts = [
        f"{glyph} {series.name}" for glyph, series in zip(glyphs.curves, chart.series, strict=False)
    ]
    parts += [
        f"{glyphs.limit} {level:g} {chart.y_unit} {name}" for level, name in chart.levels if name
    ]
    parts += [f"{glyphs.down} {mark:g} {chart.x_unit} {name}" for mark, name in chart.marks]
    yield text(fit(" " + "  ".join(parts), width), "dim")


def figures(chart: Chart, width: int) -> Iterator[Line]:
    """Yield what is said of a chart and its figures along x; each row is a target."""
    first, *others = chart.said
    yield from paragraph(first, width, tone="strong")
    heads = "".join(f"{series.short:>{COLUMN}}" for series in chart.series)
    yield text(fit(f" {chart.x_unit:>6}{heads} {chart.y_unit}", width), "dim")
    for x in xs_of(chart):
        values = [series.at(x) for series in chart.series]
        shown = "".join(
            " " * COLUMN if value is None else f"{value:>{COLUMN}.1f}" for value in values
        )
        over = _over(chart, values, x)
        row = fit(f" {x:>6.0f}{shown} {over}", width)
        yield (Piece(row, "danger" if over else "", x, whole=True),)
    for said in others:
        yield from paragraph(said, width)


def xs_of(chart: Chart) -> list[float]:
    """Return where figures are given: even steps, the marks, and the end."""
    points = chart.series[0].points
    low, high = points[0][0], points[-1][0]
    steps = int((high - low) / chart.step + 1e-9)
    even = [low + n * chart.step for n in range(steps + 1)]
    return sorted({*even, *(x for x, _ in chart.marks), high})


def _over(chart: Chart, values: list[float | None], x: float) -> str:
    for mark, name in chart.marks:
        if x == mark:
            return f"< {name}"
    first = values[0]
    for level, name in chart.levels:
        if level and first is not None and first > level:
            return f"> {name}"
    return ""
