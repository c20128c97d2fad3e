"""Pages made from a result, without any screen."""

import pytest
from attrs import astuple, evolve

from pincheck.reports.glyphs import LINES, PLAIN
from pincheck.screen import board_picture, pins, verdict_table
from pincheck.screen.cell import cell_page
from pincheck.screen.excerpt import claims_lines
from pincheck.screen.finding import finding_page
from pincheck.screen.page import fit
from pincheck.screen.pins import Pin
from pincheck.screen.verdict_table import VerdictCell
from pincheck.wiring.copper import Copper


@pytest.fixture
def checked(engine):
    return engine.check(lambda _: None)


@pytest.fixture
def result(checked):
    return checked.result


def text(lines):
    return "\n".join("".join(run.text for run in line) for line in lines)


@pytest.mark.parametrize("width", [60, 80, 100])
def test_the_table_has_a_line_for_each_role_and_fits(result, width):
    rows = list(verdict_table.table(result, width))
    assert [text([row]).split()[0] for row in rows] == list(result.roles())
    assert all(len(text([row])) <= width for row in rows)
    assert len(text(list(verdict_table.heads(width)))) <= width


def test_every_verdict_can_be_reached_from_the_table(result):
    cells = {p.target for row in list(verdict_table.table(result, 80)) for p in row if p.target}
    assert VerdictCell("hotend.sensor", "sensor") in cells
    assert VerdictCell("part.fan", "drive") in cells
    assert len(cells) == 10


def test_a_cell_not_checked_gives_the_reason(result):
    said = verdict_table.cell_words(result, VerdictCell("part.fan", "drive"))
    assert "not checked, the files do not say which frequency" in said


def test_a_cell_that_contradicts_leads_to_its_findings(result):
    lines = list(cell_page(result, VerdictCell("hotend.sensor", "sensor"), 80, LINES))
    targets = [run.target for line in lines for run in line if run.target is not None]
    assert targets == [result.findings[0]]


@pytest.mark.parametrize("width", [60, 80, 160])
def test_a_finding_tells_all_that_belongs_to_it(checked, width):
    finding = checked.result.findings[0]
    lines = list(finding_page(checked.result, finding, checked.proposals[0], width, PLAIN))
    page = text(lines)
    for words in (
        "!! DANGER",
        "believes -198 C",
        "machine.cfg, line 7",
        ">7 | sensor_type: PT1000  # came with the kit [bold]",
        "^^^^^^",
        "o chip      PC5 of Teal 1",
        "# part      ntc-100k-b3950",
        "pull-up = 4700 ohm, wiring of hotend.sensor",
        "+sensor_type: Generic 3950",
        "Rule sensor-table-differs",
        "source",
    ):
        assert words in page
    assert all(len(row) <= width for row in page.split("\n"))


def test_where_a_wrongly_named_pin_leads_is_drawn_beside_the_right_way(result):
    swapped = result.findings[2]
    lines = finding_page(result, evolve(swapped, facts=()), None, 80, PLAIN)
    page = " ".join(text(lines).split())
    assert "PB6 of Teal 1, which the firmware names for part.fan, leads to hotend.fan" in page


def test_the_line_mark_stands_under_the_value(result):
    rows = text(claims_lines(result.findings[0].claims, 80, PLAIN)).split("\n")
    at = next(n for n, row in enumerate(rows) if row.startswith(" >"))
    assert rows[at].index("PT1000") == rows[at + 1].index("^")


def test_lines_close_together_are_shown_once_with_a_mark_each(result):
    claims = [result.claims.find("hotend.sensor", "table"), result.findings[1].claims[0]]
    page = text(claims_lines(claims, 80, PLAIN))
    assert "machine.cfg, lines 7, 9" in page
    assert page.count("min_temp: 5") == 1
    assert page.count(">") == 2
    far = [claims[0], result.claims.find("hotend.fan", "threshold_c")]
    assert " .. |" in text(claims_lines(far, 80, PLAIN))


def test_pins_of_a_finding_are_those_of_its_way(result):
    marked = pins.of_finding(result, result.findings[0])
    assert marked == {
        Pin("main", "head", 8),
        Pin("tool", "ribbon", 8),
        Pin("tool", "thermistor", 1),
    }


@pytest.mark.parametrize("width", [60, 80, 160])
@pytest.mark.parametrize("glyphs", [LINES, PLAIN])
def test_the_picture_has_every_pin_once_and_fits(result, width, glyphs):
    marks = pins.by_pin(result, result.findings)
    page = board_picture.picture(result, "tool", marks, width, glyphs)
    rows = list(page)
    drawn = [run.target for row in rows for run in row if run.target is not None]
    board = result.assembly.boards["tool"]
    every = [
        Pin("tool", name, number)
        for name, connector in board.connectors.items()
        for number in range(1, len(connector.pins) + 1)
    ]
    assert sorted(drawn, key=astuple) == sorted(every, key=astuple)
    assert all(len(text([row])) <= width for row in rows)
    assert text(rows).isascii() is glyphs.ascii_only


def test_pins_with_findings_carry_a_mark_not_only_a_colour(result):
    marks = pins.by_pin(result, result.findings)
    page = board_picture.picture(result, "tool", marks, 80, PLAIN)
    by_pin = {p.target: p.text for row in list(page) for p in row if p.target is not None}
    assert "!!" in by_pin[Pin("tool", "thermistor", 1)]
    assert "!" in by_pin[Pin("tool", "part_fan", 2)]
    assert "!" not in by_pin[Pin("tool", "thermistor", 2)]


def test_a_pin_tells_net_chip_pin_part_line_and_findings(result):
    pin = Pin("tool", "thermistor", 1)
    found = pins.by_pin(result, result.findings)[pin]
    lines = list(pins.pin_page(result, Copper(result.assembly), pin, found, 80))
    page = text(lines)
    for words in ("net TH", "chip pin PC5 of Teal 1", "100 k thermistor", "sensor_pin: PC5"):
        assert words in page
    assert any(run.target for line in lines for run in line)


def test_a_long_text_is_cut_with_a_mark_and_a_short_one_padded():
    assert fit("abcdefgh", 6) == "abcd.."
    assert fit("abc", 6) == "abc   "
    assert fit("温度温度", 5) == "温 .."
    assert fit("a\x1b[31mb", 20).startswith("a\\x1b[31mb")
