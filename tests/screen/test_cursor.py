"""The cursor over a page, without any screen."""

from hypothesis import given, settings
from hypothesis import strategies as st

from pincheck.screen import cursor
from pincheck.screen.cursor import Position
from pincheck.screen.page import PageLine, TextRun


def grid(*rows: str) -> list[PageLine]:
    """A letter is a target, a dot is plain; each is three columns wide."""
    return [
        tuple(
            TextRun(f" {letter} ", target=None if letter == "." else (letter, y)) for letter in row
        )
        for y, row in enumerate(rows)
    ]


PAGE = grid("...", "a.b", "...", "..c", "d..")


def test_the_first_target_is_stood_on_not_the_first_line():
    assert cursor.first(PAGE) == Position(1, 0)
    assert cursor.last(PAGE) == Position(4, 0)
    assert cursor.first(grid("..", "..")) is None


def test_down_goes_to_the_nearest_target_below_past_lines_without_any():
    assert cursor.down(PAGE, Position(1, 2), 1) == Position(3, 2)
    assert cursor.down(PAGE, Position(1, 0), 1) == Position(3, 2)


def test_down_at_the_end_stays():
    assert cursor.down(PAGE, Position(4, 0), 1) == Position(4, 0)
    assert cursor.down(PAGE, Position(1, 0), -1) == Position(1, 0)


def test_a_leap_beyond_the_end_lands_on_the_last_target():
    assert cursor.down(PAGE, Position(1, 0), 50) == Position(4, 0)
    assert cursor.down(PAGE, Position(4, 0), -50) == Position(1, 0)


def test_across_stays_within_its_line():
    assert cursor.across(PAGE, Position(1, 0), 1) == Position(1, 2)
    assert cursor.across(PAGE, Position(1, 2), 1) == Position(1, 2)


def test_a_column_is_found_under_the_mouse_and_plain_text_is_not():
    assert cursor.at(PAGE, 1, 1) == Position(1, 0)
    assert cursor.at(PAGE, 1, 4) is None
    assert cursor.at(PAGE, 9, 0) is None


def test_a_piece_for_its_whole_line_is_found_anywhere_on_it():
    page = [(TextRun(" !! ", target="x", whole=True), TextRun("and the rest of it"))]
    assert cursor.at(page, 0, 15) == Position(0, 0)


def test_wide_characters_count_as_two_columns():
    page = [(TextRun("温度"), TextRun(" b ", target="b"))]
    assert cursor.at(page, 0, 3) is None
    assert cursor.at(page, 0, 5) == Position(0, 1)


@settings(max_examples=25)
@given(
    st.lists(st.text("ab.", min_size=1, max_size=6), min_size=1, max_size=30),
    st.lists(st.tuples(st.integers(-1, 1), st.integers(-40, 40)), max_size=30),
)
def test_wherever_one_goes_one_stands_on_a_target(rows, moves):
    page = grid(*rows)
    here = cursor.first(page)
    if here is None:
        return
    for across, down in moves:
        here = cursor.across(page, here, across) if across else cursor.down(page, here, down or 1)
        assert cursor.target(page, here) is not None
