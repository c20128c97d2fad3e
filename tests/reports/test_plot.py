"""Charts drawn with characters."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.reports.charts import Chart, Series
from pincheck.reports.glyphs import LINES, PLAIN
from pincheck.reports.plot import GUTTER, figures, heads, plot, ticks


def chart(points, levels=(), marks=()):
    return Chart(
        "a title",
        "time",
        "s",
        "temperature",
        "C",
        (Series("block, really", "block", tuple(points)),),
        levels,
        marks,
        ("said of it",),
    )


def drawn(lines):
    return ["".join(text for text, _ in line) for line in lines]


@given(st.floats(-1000, 1000, allow_nan=False), st.floats(0.01, 5000), st.integers(2, 12))
def test_ticks_are_round_inside_and_few(low, span, most):
    found = ticks(low, low + span, most)
    assert all(low - span * 1e-6 <= tick <= low + span * (1 + 1e-6) for tick in found)
    assert len(found) <= max(most, 2) + 1
    steps = {round(b - a, 9) for a, b in pairwise(found)}
    assert len(steps) <= 1


@pytest.mark.parametrize(("width", "height"), [(40, 10), (60, 12), (80, 20), (160, 45)])
def test_a_plot_keeps_to_its_room_and_names_axes_units_and_limit(width, height):
    points = [(x, 20 + 2 * x) for x in range(101)]
    rows = drawn(plot(chart(points, levels=((200.0, "liner"),)), width, height, PLAIN))
    assert len(rows) <= height
    assert max(map(len, rows)) <= width
    text = "\n".join(rows)
    assert "temperature, C" in text
    assert "time, s" in text
    assert "200 C liner" in text
    assert text.isascii()


def test_the_curve_stands_where_its_values_are():
    # Each cell of the drawn parabola is held against the formula, within one row.
    points = [(x / 2, (x / 2 - 50) ** 2) for x in range(201)]
    height, width = 26, 80
    rows = drawn(plot(chart(points), width, height, PLAIN))[1:-3]
    low, high = -125.0, 2625.0
    for row, line in enumerate(rows):
        for column, glyph in enumerate(line[GUTTER:]):
            if glyph != "*":
                continue
            x = 100 * column / (width - GUTTER - 2)
            y = high - (high - low) * row / (len(rows) - 1)
            slope = abs(2 * (x - 50)) * 100 / (width - GUTTER - 2)
            assert abs((x - 50) ** 2 - y) <= slope + (high - low) / (len(rows) - 1)


def test_a_steep_curve_hangs_together():
    points = [(0.0, 0.0), (50.0, 0.0), (50.001, 100.0), (100.0, 100.0)]
    rows = drawn(plot(chart(points), 60, 20, PLAIN))[1:-3]
    assert all("*" in row for row in rows[1:-1])


def test_a_flat_curve_is_drawn_too():
    assert any("•" in row for row in drawn(plot(chart([(0.0, 5.0), (10.0, 5.0)]), 50, 12, LINES)))


def test_figures_stand_beside_the_plot_and_tell_what_is_over_a_limit():
    points = [(x, 20 + 2 * x) for x in range(101)]
    made = chart(points, levels=((200.0, "liner"),))
    rows = list(figures(made))
    assert heads(made).split() == ["s", "block", "C"]
    assert [(row.x, row.over) for row in rows if row.x in (80, 100)] == [(80, ""), (100, "> liner")]
    assert rows[-1].text.split() == ["100", "220.0", ">", "liner"]


def test_a_value_between_two_points_lies_on_their_line():
    series = Series("a", "a", ((0.0, 0.0), (10.0, 5.0)))
    assert series.at(4.0) == pytest.approx(2.0)
    assert series.at(10.5) is None
    assert not math.isnan(series.at(10.0))
