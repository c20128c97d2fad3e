"""Curves as an inline drawing: axes with units, limits with their names, a key beneath."""

from markupsafe import Markup

from pincheck.html.page import environment
from pincheck.model.frozen import frozen
from pincheck.reports.charts import Chart
from pincheck.reports.plot import ticks

_WIDE, _HIGH = 340.0, 190.0
_LEFT, _TOP, _RIGHT, _BOTTOM = 44.0, 10.0, 12.0, 26.0


@frozen
class DrawnChart:
    """A chart in the units of its drawing; `across` and `up` are (place, figure) of the axes."""

    chart: Chart
    width: float
    height: float
    left: float
    right: float
    top: float
    base: float
    across: tuple[tuple[float, str], ...]
    up: tuple[tuple[float, str], ...]
    curves: tuple[str, ...]
    levels: tuple[float, ...]
    marks: tuple[float, ...]


def draw_chart(chart: Chart) -> Markup:
    """Return a chart as a `figure` with an inline drawing and what is said beside it."""
    return Markup(environment().get_template("chart.html").render(at=_drawn(chart)))


def _drawn(chart: Chart) -> DrawnChart:
    xs = [x for series in chart.series for x, _ in series.points]
    ys = [y for series in chart.series for _, y in series.points]
    ys += [level for level, _ in chart.levels]
    # A flat curve has no height of its own: half a unit keeps it off the frame.
    room = max((max(ys) - min(ys)) * 0.05, 0.5)
    low, high = min(ys) - room, max(ys) + room
    left, right, top, base = _LEFT, _LEFT + _WIDE, _TOP, _TOP + _HIGH
    span = max(max(xs) - min(xs), 1e-9)

    def x_at(x: float) -> float:
        return round(left + (x - min(xs)) / span * _WIDE, 1)

    def y_at(y: float) -> float:
        return round(base - (y - low) / (high - low) * _HIGH, 1)

    return DrawnChart(
        chart,
        right + _RIGHT,
        base + _BOTTOM,
        left,
        right,
        top,
        base,
        tuple((x_at(x), f"{x:g}") for x in ticks(min(xs), max(xs), 6)),
        tuple((y_at(y), f"{y:g}") for y in ticks(low, high, 5)),
        tuple(" ".join(f"{x_at(x)},{y_at(y)}" for x, y in it.points) for it in chart.series),
        tuple(y_at(level) for level, _ in chart.levels),
        tuple(x_at(mark) for mark, _ in chart.marks),
    )
