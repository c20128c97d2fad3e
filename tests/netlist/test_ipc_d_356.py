"""IPC-D-356 as real exports spell it, and what is said of broken ones."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from netlist_records import exported, point

from pincheck import api
from pincheck.model.problem import UnreadableError
from pincheck.model.source import Source
from pincheck.netlist.read import netlist_of
from pincheck.wiring import load_board

LAPWING = exported(load_board(api.demo("boards/lapwing-c.toml")))

NETS = st.text(st.sampled_from("ABZ09_/#+-~"), min_size=1, max_size=14).map(str.strip)
PINS = st.lists(NETS, min_size=1, max_size=12)


def nets(text):
    """Return {(reference, pin): net}."""
    read = netlist_of(Source.of_text("board.ipc", text))
    return {(r, pin): point.net for r, pins in read.pins.items() for pin, point in pins.items()}


def refused(text):
    """Return what is said of a netlist that cannot be read."""
    with pytest.raises(UnreadableError) as caught:
        netlist_of(Source.of_text("board.ipc", text))
    return str(caught.value)


@given(PINS, st.data())
def test_one_netlist_in_every_spelling_is_the_same(pins, data):
    """CRLF, records cut after the places, padded and small pin names, both sides, aliases."""
    plain, odd = [], []
    for number, net in enumerate(pins, 1):
        plain.append(point(net, "J1", str(number)))
        record = point(net, "J1", data.draw(st.sampled_from([f"{number:02d}", f"{number:>4}"])))
        if data.draw(st.booleans()):
            odd.append(f"P  NNAME{number}  {net}")
            record = record.replace(f"{net:<14}", f"{f'NNAME{number}':<14}", 1)
        odd.append(record if data.draw(st.booleans()) else f"{record:<80}")
        if data.draw(st.booleans()):  # the pad's other side
            odd.append(point(net, "J1", str(number), code="327"))
        if data.draw(st.booleans()):  # what follows is that of the record before
            odd.append(f"017{'':<14}   {'':<6} {'':<4} D0400PA00X+000000Y+000000")
    assert nets("\r\n".join([*odd, "999"])) == nets("\n".join([*plain, "999"]))


@given(st.integers(0, len(LAPWING) - 2))
def test_a_file_that_was_cut_off_is_never_taken_for_whole(length):
    """Wherever it ends, even between two records."""
    if LAPWING[:length].rstrip().endswith("\n999"):
        return
    refused(LAPWING[:length])


@given(st.binary(max_size=300), st.integers(0, len(LAPWING)))
def test_nothing_but_words_comes_of_noise(noise, at):
    """Any bytes in the middle of a file."""
    text = LAPWING[:at] + noise.decode("latin-1") + LAPWING[at:]
    with suppress(UnreadableError):
        netlist_of(Source.of_text("board.ipc", text))


@pytest.mark.parametrize(
    ("record", "said"),
    [
        ("317HEAT0", "board.ipc:2:9: the record ends before its part"),
        (point("A_VERY_LONG_NAME", "J1", "1"), "board.ipc:2:18: columns 18 to 20 are not blank"),
        (point("NNAME7", "J1", "1"), "board.ipc:2:4: no P line says what 'NNAME7' stands for"),
        (point("", "J1", "1"), "board.ipc:2:4: there is no net"),
        (point("A", "J1", ""), "board.ipc:2:28: 'J1' has no pin"),
        (point("GND", "J9", "1"), "pin 1 of J9 is on net 'GND', and on net 'A' in line 1"),
        ("515HEAT0", "board.ipc:2:1: '515' is no record of this standard"),
        ("317HEAT0\tJ1\t1", "board.ipc:2:4: a tab stands in the columns"),
        (" " + point("A", "J1", "1"), "board.ipc:2:1: ' 31' is no record of this standard"),
    ],
)
def test_a_broken_record_is_told_with_its_column(record, said):
    """The column where the field begins, counted from 1."""
    assert said in refused("\n".join([point("A", "J9", "1"), record, "999"]))


def test_a_continuation_needs_something_before_it():
    """The first record cannot continue one."""
    assert "nothing stands before" in refused(
        f"P  JOB  x\n{point('A', 'J1', '1', code='017')}\n999"
    )


def test_images_of_a_panel_are_counted_and_taken_once():
    """The same names four times, each 50 mm further; other names are a contradiction."""
    images = [point("A", "J1", pin, x) for x in (0, 20000, 40000, 60000) for pin in ("1", "2")]
    read = netlist_of(Source.of_text("panel.ipc", "\n".join([*images, "999"])))
    assert read.copies == 4
    assert list(read.pins["J1"]) == ["1", "2"]
    other = point("A#2", "J1", "1", 80000)
    assert "of a panel with several boards, the netlist of one" in refused(
        "\n".join([*images, other, "999"])
    )


def test_vias_and_holes_without_a_pin_are_no_parts():
    """Nor are records of conductors and outline that 356A adds."""
    text = "\n".join(
        [point("A", "J1", "1"), point("A", "VIA", ""), "367N/C              H1", "378A  L01", "999"]
    )
    assert "ends before its part" in refused(text)
    assert nets(text.replace("H1", "H1          D1200UA00X+000000Y+000000")) == {("J1", "1"): "A"}
