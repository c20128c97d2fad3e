"""Connectors as drawn: read back from the drawing itself."""

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest

from pincheck.html import draw_connector
from pincheck.model.wiring import Connector, Net

SVG = re.compile(r"<svg.*</svg>", re.DOTALL)
LETTER = 13 * 0.602
"""Width of a letter of the drawing: DejaVu Sans Mono, the widest of the fonts that it names."""


def drawn(connector, **options):
    """Return the drawing as a tree, namespaces not needed for an inline one."""
    return ElementTree.fromstring(SVG.search(draw_connector(connector, **options))[0])


def pads(tree):
    """Return {pin: (x, y)} of all pads with a number."""
    found = tree.iter("text")
    return {
        int(it.text): (float(it.get("x")), float(it.get("y")))
        for it in found
        if it.get("class") == "number"
    }


def boxes(tree):
    """Return (left, right, line) of every text and pad."""
    for it in tree.iter("text"):
        x, y, wide = float(it.get("x")), float(it.get("y")), len(it.text) * LETTER
        if it.get("class") == "number":
            yield x - 9.5, x + 9.5, round(y / 10)
        else:
            start = x - wide if it.get("class") == "at-end" else x
            yield start, start + wide, round(y / 10)


@pytest.mark.parametrize("rows", [1, 2, 3, 4])
@pytest.mark.parametrize("numbering", ["zigzag", "rows"])
@pytest.mark.parametrize("plug_face", [False, True])
def test_names_touch_neither_pins_nor_each_other_and_stay_inside(rows, numbering, plug_face):
    """From a row of two up to rows of twenty, with names far too long."""
    for columns in (2, 5, 20):
        pins = tuple("LONG_NAME_OF_A_NET_" * (n % 3) + f"N{n}" for n in range(rows * columns))
        tree = drawn(Connector("link", pins, rows=rows, numbering=numbering), plug_face=plug_face)
        found = list(boxes(tree))
        assert all(left >= 0 and right <= float(tree.get("width")) for left, right, _ in found)
        for one, two in combinations(found, 2):
            assert one[2] != two[2] or one[1] <= two[0] or two[1] <= one[0], (one, two)


def test_pin_two_stands_beside_pin_one_and_the_plug_is_the_mirror_image():
    """In two rows numbered in zigzag; on the plug's open face left and right are exchanged."""
    link = Connector("link", ("A", "B", "C", "D"), rows=2)
    board, plug = pads(drawn(link)), pads(drawn(link, plug_face=True))
    assert board[1][1] == board[2][1] < board[3][1] == board[4][1]
    assert board[1][0] == board[3][0] < board[2][0] == board[4][0]
    assert plug[1][1] == plug[2][1]
    assert plug[1][0] > plug[2][0]


def test_names_stand_on_the_side_of_their_pin():
    """The left name of a line is that of its left pin, on board and plug."""
    link = Connector("link", ("A", "B", "C", "D"), rows=2)
    for plug_face, left in ((False, ["A", "C"]), (True, ["B", "D"])):
        tree = drawn(link, plug_face=plug_face)
        assert [it.text for it in tree.iter("text") if it.get("class") == "at-end"] == left


def test_what_is_known_of_a_housing_is_drawn_and_what_is_not_is_not():
    """Key, wall, latch, plugged and open positions; rail and ground are told apart."""
    nets = {"24V": Net("24V", supply_v=24.0), "GND": Net("GND", supply_v=0.0)}
    pins = ("24V", "GND", "TH", "", "")
    full = drawn(Connector("a", pins, keyed=True, latch=True, plugged=(4,)), nets=nets)
    classes = [it.get("class") for it in full.iter() if it.get("class")]
    assert {"wall", "key", "latch", "first"} < set(classes)
    kinds = [it.removeprefix("pin ") for it in classes if it.startswith("pin ")]
    assert kinds == ["rail", "ground", "signal", "plugged", "open"]
    bare = {it.get("class") for it in drawn(Connector("a", pins)).iter()}
    assert not {"wall", "key", "latch"} & bare
    assert "key not stated" in draw_connector(Connector("a", pins))
    assert "not keyed" in draw_connector(Connector("a", pins, keyed=False))


def test_a_name_from_a_file_is_text_and_nothing_else():
    """Markup and control characters of a net's or connector's name do nothing."""
    page = draw_connector(Connector('x"><script>', ("<i>&", "\x1b[31m\u202e")))
    assert "<script>" not in page
    assert "<i>" not in page
    assert "\x1b" not in page
    assert "\u202e" not in page
    assert "&lt;i&gt;&amp;" in page
