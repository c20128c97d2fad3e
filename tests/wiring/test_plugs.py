"""Where a plug can go on wrong, against every way to put up to four holes on the pins."""

from itertools import product

import pytest

from pincheck import api
from pincheck.model.problem import UnreadableError
from pincheck.model.wiring import Connector
from pincheck.wiring import load_board
from pincheck.wiring.plugs import (
    cells,
    mated,
    matings,
    placements,
    plug_of,
    prevented_by,
)

SIZES = [(1, 1), (2, 1), (3, 1), (4, 1), (2, 2), (4, 2), (3, 3), (4, 4)]


def socket(count: int, rows: int = 1, **more: object) -> Connector:
    return Connector("x", tuple(f"N{n}" for n in range(1, count + 1)), rows=rows, **more)


def rigid(meets: tuple[int, ...], at: tuple[tuple[int, int], ...]) -> bool:
    """Whether holes keep their distances along and across: all in place, or all moved by one."""
    landed = [(at[hole], at[pin - 1]) for hole, pin in enumerate(meets) if pin]
    if len(landed) == len(at):
        return all(
            abs(a[0] - b[0]) == abs(c[0] - d[0]) and abs(a[1] - b[1]) == abs(c[1] - d[1])
            for a, c in landed
            for b, d in landed
        )
    steps = {(c[0] - a[0], c[1] - a[1]) for a, c in landed}
    if len(steps) != 1 or sum(map(abs, next(iter(steps)))) != 1:
        return False
    step = next(iter(steps))
    could = [(x + step[0], y + step[1]) in at for x, y in at]
    return could == [bool(pin) for pin in meets]


@pytest.mark.parametrize("numbering", ["zigzag", "rows"])
@pytest.mark.parametrize(("count", "rows"), SIZES)
def test_every_wrong_way_is_there_and_no_other(count, rows, numbering):
    """All partial assignments of holes to pins, of which the rigid ones are kept."""
    it = socket(count, rows, numbering=numbering)
    every = product(range(count + 1), repeat=count)
    injective = (m for m in every if len(set(m) - {0}) == len(m) - m.count(0))
    expected = {m for m in injective if rigid(m, cells(it))} - {tuple(range(1, count + 1))}
    found = [p.meets for p in placements(it)]
    assert len(found) == len(set(found))
    assert set(found) == expected


def test_two_rows_are_numbered_side_by_side_or_one_after_the_other():
    """Pin 2 of six stands beside pin 1 or behind it; turned round both put 6 on 1."""
    zigzag, rows = socket(6, 2), socket(6, 2, numbering="rows")
    assert cells(zigzag)[1] == (0, 1)
    assert cells(rows)[1] == (1, 0)
    by_how = {p.how: p.meets for p in placements(zigzag)}
    assert by_how["turned round"] == (6, 5, 4, 3, 2, 1)
    assert by_how["mirrored, rows exchanged"] == (2, 1, 4, 3, 6, 5)
    assert by_how["shifted by one column towards pin 6"] == (3, 4, 5, 6, 0, 0)
    assert by_how["shifted by one row beyond the last"] == (2, 0, 4, 0, 6, 0)
    assert {p.how: p.meets for p in placements(rows)}["mirrored, rows exchanged"] == (
        4, 5, 6, 1, 2, 3,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("more", "turned", "shifted"),
    [
        ({}, (), ()),
        ({"keyed": True}, ("keyed",), ("shroud",)),
        ({"keyed": True, "shroud": False}, ("keyed",), ()),
        ({"keyed": False, "shroud": True}, (), ("shroud",)),
        ({"latch": True}, ("latch",), ()),
    ],
)
def test_what_forbids_what(more, turned, shifted):
    """A key keeps a plug from being turned, a wall from being shifted, a hook from turning."""
    it = socket(4, **more)
    by_kind = {p.kind: prevented_by(it, p) for p in placements(it)}
    assert by_kind == {"turned": turned, "shifted": shifted}


def test_a_filled_hole_meets_no_pin():
    """With position 2 of four filled, turned round it would meet pin 3; in the middle of three it
    stays where it is, and hinders only a shift."""
    four = Connector("x", ("A", "", "B", "C"), plugged=(2,))
    assert {p.kind: prevented_by(four, p) for p in placements(four)}["turned"] == ("plugged",)
    three = Connector("x", ("A", "", "B"), plugged=(2,))
    assert {p.kind: prevented_by(three, p) for p in placements(three)} == {
        "turned": (),
        "shifted": ("plugged",),
    }


def test_only_the_same_family_takes_a_plug():
    """Pitch, pins, rows, key, coding and filled positions have to be the same."""
    it = socket(3, pitch_mm=2.5, keyed=True)
    for other in (
        socket(3, keyed=True),
        socket(3, pitch_mm=2.54, keyed=True),
        socket(4, pitch_mm=2.5, keyed=True),
        socket(3, pitch_mm=2.5, keyed=True, coding="B"),
    ):
        assert plug_of(it) != plug_of(other)


def test_a_plug_turned_round_twice_is_right_again():
    """What a wrong mating does to cables and parts, undone by the same."""
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    for mating in matings(assembly):
        wrong = mated(assembly, mating)
        if mating.kind != "shifted":
            assert wrong != assembly
            assert mated(wrong, mating) == assembly


def test_a_part_of_a_neighbour_comes_along():
    """X and Y end stops exchange their sockets; a free socket takes a plug and gives none."""
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    swaps = {(m.connector, m.other): m for m in matings(assembly) if m.kind == "swapped"}
    wrong = mated(assembly, swaps[("main", "stop_x"), ("main", "stop_y")])
    at = {fit.name: fit.connector for fit in wrong.fits}
    assert (at["x_endstop"], at["y_endstop"]) == (("main", "stop_y"), ("main", "stop_x"))
    moved = swaps[("main", "stop_x"), ("main", "stop_z")]
    assert moved.how == "put on stop_z"


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("plugged = [3]", "there is no pin 3"),
        ("plugged = [1]", "pin 1 carries net 'A' and cannot be plugged"),
        ("plugged = 2", "2 is no list of pins"),
        ("plugged = [true]", "there is no pin true"),
        ('numbering = "rowwise"', "did you mean 'rows'?"),
        ("shrowd = true", "did you mean 'shroud'?"),
    ],
)
def test_mistakes_of_the_new_keys_are_told_with_their_place(tmp_path, written, said):
    """A plugged position has no net; each message names the line."""
    path = tmp_path / "board.toml"
    path.write_text(
        f'[board]\nname = "Avocet"\n[nets.A]\nsupply_v = 24\n[connectors.a]\n'
        f'pins = ["A", ""]\n{written}\n'
    )
    with pytest.raises(UnreadableError) as caught:
        load_board(path)
    problem = caught.value.problems[0]
    assert problem.span.line == 7
    assert said in str(problem)
