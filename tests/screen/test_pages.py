"""Pages made from a result, without any screen."""

import pytest
from attrs import evolve

from pincheck.reports.glyphs import LINES, PLAIN
from pincheck.screen import board_picture, detail, first_look, pins
from pincheck.screen.first_look import Cell
from pincheck.screen.page import stops
from pincheck.screen.pins import Pin
from pincheck.screen.spot import cell_lines
from pincheck.screen.write_up import fit
from pincheck.wiring.copper import Copper


@pytest.fixture
def checked(engine):
    return engine.check(lambda _: None)


@pytest.fixture
def result(checked):
    return checked.result


def text(lines):
    return "\n".join("".join(piece.text for piece in line) for line in lines)


def lines_of(page):
    return [page.line(y) for y in range(page.height)]


@pytest.mark.parametrize("width", [60, 80, 100])
def test_the_table_has_a_line_for_each_role_and_fits(result, width):
    rows = lines_of(first_look.table(result, width))
    assert [text([row]).split()[0] for row in rows] == list(result.roles())
    assert all(len(text([row])) <= width for row in rows)
    assert len(text(lines_of(first_look.heads(width)))) <= width


def test_every_verdict_can_be_reached_from_the_table(result):
    cells = {p.target for row in lines_of(first_look.table(result, 80)) for p in row if p.target}
    assert Cell("hotend.sensor", "sensor") in cells
    assert Cell("part.fan", "drive") in cells
    assert len(cells) == 10


def test_a_cell_not_checked_gives_the_reason(result):
    said = first_look.cell_words(result, Cell("part.fan", "drive"))
    assert "not checked, the files do not say which frequency" in said


def test_a_cell_that_contradicts_leads_to_its_findings(result):
    lines = list(cell_lines(result, Cell("hotend.sensor", "sensor"), 80, LINES))
    targets = [piece.target for line in lines for piece in line if piece.target is not None]
    assert targets == [result.findings[0]]


@pytest.mark.parametrize("width", [60, 80, 160])
def test_a_finding_tells_all_that_belongs_to_it(checked, width):
    finding = checked.result.findings[0]
    lines = list(detail.finding_lines(checked.result, finding, checked.proposals[0], width, PLAIN))
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
    lines = detail.finding_lines(result, evolve(swapped, facts=()), None, 80, PLAIN)
    page = " ".join(text(lines).split())
    assert "PB6 of Teal 1, which the firmware names for part.fan, leads to hotend.fan" in page


def test_the_line_mark_stands_under_the_value(result):
    rows = text(detail.claims_lines(result.findings[0].claims, 80, PLAIN)).split("\n")
    at = next(n for n, row in enumerate(rows) if row.startswith(" >"))
    assert rows[at].index("PT1000") == rows[at + 1].index("^")


def test_lines_close_together_are_shown_once_with_a_mark_each(result):
    claims = [result.claims.find("hotend.sensor", "table"), result.findings[1].claims[0]]
    page = text(detail.claims_lines(claims, 80, PLAIN))
    assert "machine.cfg, lines 7, 9" in page
    assert page.count("min_temp: 5") == 1
    assert page.count(">") == 2
    far = [claims[0], result.claims.find("hotend.fan", "threshold_c")]
    assert " .. |" in text(detail.claims_lines(far, 80, PLAIN))


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
    rows = lines_of(page)
    drawn = [piece.target for row in rows for piece in row if piece.target is not None]
    board = result.assembly.boards["tool"]
    every = [
        Pin("tool", name, number)
        for name, connector in board.connectors.items()
        for number in range(1, len(connector.pins) + 1)
    ]
    assert sorted(drawn, key=str) == sorted(every, key=str)
    assert all(len(text([row])) <= width for row in rows)
    assert text(rows).isascii() is glyphs.ascii_only


def test_pins_with_findings_carry_a_mark_not_only_a_colour(result):
    marks = pins.by_pin(result, result.findings)
    page = board_picture.picture(result, "tool", marks, 80, PLAIN)
    by_pin = {p.target: p.text for row in lines_of(page) for p in row if p.target is not None}
    assert "!!" in by_pin[Pin("tool", "thermistor", 1)]
    assert "!" in by_pin[Pin("tool", "part_fan", 2)]
    assert "!" not in by_pin[Pin("tool", "thermistor", 2)]


def test_a_pin_tells_net_chip_pin_part_line_and_findings(result):
    pin = Pin("tool", "thermistor", 1)
    found = pins.by_pin(result, result.findings)[pin]
    lines = list(pins.pin_lines(result, Copper(result.assembly), pin, found, 80))
    page = text(lines)
    for words in ("net TH", "chip pin PC5 of Teal 1", "100 k thermistor", "sensor_pin: PC5"):
        assert words in page
    assert any(stops(line) for line in lines)


def test_a_long_text_is_cut_with_a_mark_and_a_short_one_padded():
    assert fit("abcdefgh", 6) == "abcd.."
    assert fit("abc", 6) == "abc   "
    assert fit("温度温度", 5) == "温 .."
    assert fit("a\x1b[31mb", 20).startswith("a\\x1b[31mb")
