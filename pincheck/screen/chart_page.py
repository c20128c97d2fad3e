"""A chart of the reports as a page: its plot, and its figures to walk through."""

from collections.abc import Iterator, Mapping

from pincheck.reports.charts import Chart
from pincheck.reports.glyphs import Glyphs
from pincheck.reports.plot import Ink, figures, heads, plot
from pincheck.screen.page import Line, Piece, Tone, text
from pincheck.screen.write_up import fit, paragraph

_TONES: Mapping[Ink, Tone] = {
    "blank": "",
    "axis": "dim",
    "first": "danger",
    "second": "advice",
    "limit": "fault",
    "mark": "strong",
}


def plot_lines(
    chart: Chart, width: int, height: int, glyphs: Glyphs, at_x: float | None = None
) -> Iterator[Line]:
    """Yield a chart in `width` columns and `height` lines; `at_x` is marked upright."""
    for drawn in plot(chart, width, height, glyphs, at_x):
        yield tuple(Piece(run, _TONES[ink]) for run, ink in drawn)


def figure_lines(chart: Chart, width: int) -> Iterator[Line]:
    """Yield what is said of a chart and its figures along x; each row is a target."""
    first, *others = chart.said
    yield from paragraph(first, width, tone="strong")
    yield text(fit(heads(chart), width), "dim")
    for row in figures(chart):
        yield (Piece(fit(row.text, width), "danger" if row.over else "", row.x, whole=True),)
    for said in others:
        yield from paragraph(said, width)
