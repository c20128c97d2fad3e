"""Curves of one group: beside each its figures, the one under the cursor marked in the plot."""

from collections.abc import Iterable, Iterator, Mapping
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.widget import Widget

from pincheck.reports.charts import Chart, charts
from pincheck.reports.glyphs import Glyphs
from pincheck.reports.plot import Stroke, figures, heads, plot
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.page import PageLine, TextRun, Tone, fit, paragraph, text
from pincheck.screen.page_view import PageView
from pincheck.screen.session import Session

_TONES: Mapping[Stroke, Tone] = {
    "blank": "",
    "axis": "dim",
    "first": "danger",
    "second": "advice",
    "limit": "fault",
    "mark": "strong",
}


class CurvesScreen(BaseScreen):
    """Plot and figures of a role's charts, one chart at a time."""

    HERE = "curves"
    HINTS = ("up/down read off", "o other curve", "Esc back", "? keys")
    BINDINGS: ClassVar[list[BindingType]] = [Binding("o", "other", "the other curve")]

    def __init__(self, session: Session, role: str) -> None:
        super().__init__(session)
        self._role, self.number = role, 0
        self.charts: tuple[Chart | str, ...] = ()

    @property
    def role(self) -> str:
        """The role whose group's curves are shown."""
        return self._role

    def body(self) -> Iterable[Widget]:
        """Yield title, plot and figures."""
        yield self.page("what", focus=False)
        yield Container(self.page("plot", focus=False), self.page("figures"), id="curve-halves")

    def draw(self) -> None:
        """Work the curves out and show one."""
        if result := self.session.result:
            self.charts = charts(result, self.role)
        self._show()

    @property
    def chart(self) -> Chart | str:
        """The chart in view, or why there is none."""
        if not self.charts:
            return f"{self.role}: no sensor and no heater in its group, so no curve"
        return self.charts[self.number % len(self.charts)]

    def _show(self) -> None:
        chart, many = self.chart, len(self.charts)
        title = chart.title if isinstance(chart, Chart) else "no curve"
        said = f" {title}" + (f" ({self.number % many + 1} of {many})" if many > 1 else "")
        self.view("what").show(lambda width: [text(fit(said, width), "title")])
        self.view("figures").show(
            lambda width: (
                figure_lines(chart, width) if isinstance(chart, Chart) else paragraph(chart, width)
            )
        )
        self.mark()

    @on(PageView.Stood, "#figures")
    def mark(self) -> None:
        """Draw the plot, the figure under the cursor marked in it."""
        self.view("plot").show(self._plotted)

    def _plotted(self, width: int) -> Iterable[PageLine]:
        chart, at = self.chart, self.view("figures").target
        if isinstance(chart, str):
            return ()
        height = self.view("plot").size.height
        at_x = at if isinstance(at, float) else None
        return plot_lines(chart, width, height, self.session.glyphs, at_x)

    def action_other(self) -> None:
        """Show the next curve."""
        self.number += 1
        self.view("figures").position = None
        self._show()


def plot_lines(
    chart: Chart, width: int, height: int, glyphs: Glyphs, at_x: float | None = None
) -> Iterator[PageLine]:
    """Yield a chart in `width` columns and `height` lines; `at_x` is marked upright."""
    for drawn in plot(chart, width, height, glyphs, at_x):
        yield tuple(TextRun(run, _TONES[ink]) for run, ink in drawn)


def figure_lines(chart: Chart, width: int) -> Iterator[PageLine]:
    """Yield what is said of a chart and its figures along x; each row is a target."""
    first, *others = chart.said
    yield from paragraph(first, width, tone="strong")
    yield text(fit(heads(chart), width), "dim")
    for row in figures(chart):
        yield (TextRun(fit(row.text, width), "danger" if row.over else "", row.x, whole=True),)
    for said in others:
        yield from paragraph(said, width)
