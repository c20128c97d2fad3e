"""The cursor over a page, without any screen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.screen import page as pages
from pincheck.screen.page import Listing, Piece, Sheet, Spot


def grid(*rows: str) -> Sheet:
    """A letter is a target, a dot is plain; each is three columns wide."""
    return Sheet(
        [
            tuple(
                Piece(f" {letter} ", target=None if letter == "." else (letter, y))
                for letter in row
            )
            for y, row in enumerate(rows)
        ]
    )


PAGE = grid("...", "a.b", "...", "..c", "d..")


def test_the_first_target_is_stood_on_not_the_first_line():
    assert pages.first(PAGE) == Spot(1, 0)
    assert pages.last(PAGE) == Spot(4, 0)
    assert pages.first(grid("..", "..")) is None


def test_down_goes_to_the_nearest_target_below_past_lines_without_any():
    assert pages.down(PAGE, Spot(1, 2), 1) == Spot(3, 2)
    assert pages.down(PAGE, Spot(1, 0), 1) == Spot(3, 2)


def test_down_at_the_end_stays():
    assert pages.down(PAGE, Spot(4, 0), 1) == Spot(4, 0)
    assert pages.down(PAGE, Spot(1, 0), -1) == Spot(1, 0)


def test_a_leap_beyond_the_end_lands_on_the_last_target():
    assert pages.down(PAGE, Spot(1, 0), 50) == Spot(4, 0)
    assert pages.down(PAGE, Spot(4, 0), -50) == Spot(1, 0)


def test_across_stays_within_its_line():
    assert pages.across(PAGE, Spot(1, 0), 1) == Spot(1, 2)
    assert pages.across(PAGE, Spot(1, 2), 1) == Spot(1, 2)


def test_a_column_is_found_under_the_mouse_and_plain_text_is_not():
    assert pages.at(PAGE, 1, 1) == Spot(1, 0)
    assert pages.at(PAGE, 1, 4) is None
    assert pages.at(PAGE, 9, 0) is None


def test_a_piece_for_its_whole_line_is_found_anywhere_on_it():
    page = Sheet([(Piece(" !! ", target="x", whole=True), Piece("and the rest of it"))])
    assert pages.at(page, 0, 15) == Spot(0, 0)


def test_wide_characters_count_as_two_columns():
    page = Sheet([(Piece("温度"), Piece(" b ", target="b"))])
    assert pages.at(page, 0, 3) is None
    assert pages.at(page, 0, 5) == Spot(0, 1)


@given(
    st.lists(st.text("ab.", min_size=1, max_size=6), min_size=1, max_size=30),
    st.lists(st.tuples(st.integers(-1, 1), st.integers(-40, 40)), max_size=30),
)
def test_wherever_one_goes_one_stands_on_a_target(rows, moves):
    page = grid(*rows)
    spot = pages.first(page)
    if spot is None:
        return
    for across, down in moves:
        spot = pages.across(page, spot, across) if across else pages.down(page, spot, down or 1)
        assert pages.target(page, spot) is not None


@pytest.mark.parametrize("by", [1, 30, 4_999])
def test_a_long_list_makes_only_the_lines_that_are_needed(by):
    made = []

    def line(y):
        made.append(y)
        return (Piece(f" {y} ", target=y),)

    assert pages.down(Listing(5_000, line), Spot(0, 0), by) == Spot(by, 0)
    assert len(set(made)) <= 3
