"""Curves of one group: beside each its figures, the one under the cursor marked in the plot."""

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.widget import Widget

from pincheck.reports.charts import Chart, charts
from pincheck.screen.chart_page import figure_lines, plot_lines
from pincheck.screen.page import Page, Sheet, text
from pincheck.screen.places.base import Place
from pincheck.screen.view import PageView
from pincheck.screen.write_up import fit, paragraph


class CurvesPlace(Place):
    """Plot and figures of a role's charts, one chart at a time."""

    HERE = "curves"
    HINTS = ("up/down read off", "o other curve", "Esc back", "? keys")
    BINDINGS: ClassVar[list[BindingType]] = [Binding("o", "other", "the other curve")]

    def __init__(self, role: str) -> None:
        super().__init__()
        self._role, self.number = role, 0
        self.charts: tuple[Chart | str, ...] = ()

    @property
    def role(self) -> str:
        """The role whose group's curves are shown."""
        return self._role

    def body(self) -> Iterable[Widget]:
        """Yield title, plot and figures."""
        glyphs = self.desk.glyphs
        yield PageView(glyphs, focus=False, id="what")
        yield Container(
            PageView(glyphs, focus=False, id="plot"),
            PageView(glyphs, id="figures"),
            id="curve-halves",
        )

    def draw(self) -> None:
        """Work the curves out and show one."""
        result = self.session.result
        if result is not None:
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
        self.view("what").show(lambda width: Sheet([text(fit(said, width), "title")]))
        self.view("figures").show(self._figures)
        self._plot()

    def _figures(self, width: int) -> Page:
        chart = self.chart
        if isinstance(chart, str):
            return Sheet(list(paragraph(chart, width)))
        return Sheet(list(figure_lines(chart, width)))

    def _plot(self) -> None:
        self.view("plot").show(self._plotted)

    def _plotted(self, width: int) -> Page:
        chart, at = self.chart, self.view("figures").target
        if isinstance(chart, str):
            return Sheet()
        height = self.view("plot").size.height
        at_x = at if isinstance(at, float) else None
        return Sheet(list(plot_lines(chart, width, height, self.desk.glyphs, at_x)))

    @on(PageView.Stood, "#figures")
    def mark(self) -> None:
        """Mark the figure under the cursor in the plot."""
        self._plot()

    def action_other(self) -> None:
        """Show the next curve."""
        self.number += 1
        self.view("figures").spot = None
        self._show()
