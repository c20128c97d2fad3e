"""Netlist to board file, and a board file held against a netlist."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from netlist_records import exported, point

from pincheck import api
from pincheck.cli.main import main
from pincheck.model.problem import UnreadableError
from pincheck.model.source import Source
from pincheck.netlist.make import make
from pincheck.netlist.read import netlist_of, ohm_of, resistors_of
from pincheck.netlist.report import board_report
from pincheck.wiring import load_board

BOARDS = ["heron-2", "lapwing-b", "lapwing-c", "curlew-1"]
RESISTORS = 'reference,value\nR1,4k7 1%\nR2,10k\n"R3, R4",DNP\n'


def demo(name):
    """Return a board of the demo."""
    return load_board(api.demo(f"boards/{name}.toml"))


def read(text):
    """Return the netlist of a text."""
    return netlist_of(Source.of_text("board.ipc", text))


def differences(text, board, parts=None):
    """Return what differs, in words."""
    listed = resistors_of(Source.of_text("parts.csv", parts)) if parts else None
    return [it.message for it in board_report(read(text), board, "b", {}, listed).differences]


@pytest.mark.parametrize("name", BOARDS)
def test_a_board_comes_back_from_its_own_netlist(name):
    """Pins, rows, pitch and volts of every connector; and nothing differs from the file."""
    board, text = demo(name), exported(demo(name))
    made = make(read(text), {}, {}, board.name).board
    for own, back in zip(board.connectors.values(), made.connectors.values(), strict=True):
        assert (own.pins, own.rows, own.pitch_mm) == (back.pins, back.rows, back.pitch_mm)
    assert {n: it.supply_v for n, it in made.nets.items()} == {
        n: board.nets[n].supply_v for n in made.nets
    }
    assert differences(text, board) == []


@given(st.data())
def test_two_pins_exchanged_are_always_told(data):
    """Of one connector or of two, as long as they carry different nets."""
    board = demo("lapwing-c")
    lines = exported(board).splitlines()
    records = [n for n, line in enumerate(lines) if line.startswith("317")]
    one, two = data.draw(st.lists(st.sampled_from(records), min_size=2, max_size=2, unique=True))
    net = slice(3, 17)
    if lines[one][net] == lines[two][net]:
        return
    a, b = lines[one], lines[two]
    lines[one], lines[two] = a[:3] + b[net] + a[17:], b[:3] + a[net] + b[17:]
    assert differences("\n".join(lines), board)


def test_a_difference_names_pin_and_both_places():
    """Where FAN_PART moved to another pin of the ribbon."""
    board = demo("lapwing-b")
    found = board_report(read(exported(demo("lapwing-c"))), board, "b", {}, None).differences
    moved = next(it for it in found if it.message.startswith("pin 9 of link"))
    assert moved.message == (
        "pin 9 of link (J1) is on no net in the board file, on net 'FAN_PART' in the netlist"
    )
    assert moved.board_at.source == "lapwing-b.toml"
    assert (moved.netlist_at.line, moved.netlist_at.column) == (11, 4)


def test_nets_of_other_names_are_told_by_their_pins_and_rails_by_their_volts():
    """A net renamed throughout is no difference, one that says other volts is."""
    board, text = demo("lapwing-c"), exported(demo("lapwing-c"))
    renamed = text.replace("317TH    ", "317T_1   ").replace("31724V ", "317+24V")
    assert differences(renamed, board) == []
    report = board_report(read(renamed), board, "b", {}, None)
    assert report.renamed == ("T_1 is TH in the board file",)
    (said,) = differences(text.replace("31724V", "31712V"), board)
    assert said == "net 24V carries 24 V in the board file; its name in the netlist, 12V, says 12 V"


def test_pulls_are_read_from_the_parts_list_and_held_against_it():
    """Written into a new board; a missing, another and a further one are told of an old one."""
    heron = demo("heron-2")
    pull = [point("TH0", "R1", "1"), point("3V3", "R1", "2")]
    bed = [point("THB", "R5", "1"), point("3V3", "R5", "2")]
    parts = RESISTORS + "R5,4700\n"
    text = exported(heron, *pull, *bed)
    made = make(read(text), {}, resistors_of(Source.of_text("p.csv", parts)), "X").board
    assert made.nets["TH0"].pullup.ohm == 4700
    assert made.nets["TH0"].pullup.to_v == 3.3
    assert differences(text, heron, parts) == []
    (said,) = differences(exported(heron, *pull), heron, parts)
    assert said == "the pull-up of 4700 ohm on THB is no resistor of the netlist"
    (said,) = differences(text, heron, parts.replace("4700", "2k2"))
    assert said == (
        "the pull-up on THB is 4700 ohm in the board file; R5 has 2200 ohm in the parts list"
    )
    (said,) = differences(
        exported(heron, *pull, *bed, point("FIL0", "R2", "1"), point("3V3", "R2", "2")),
        heron,
        parts,
    )
    assert said == "R2, 10000 ohm, is a pull-up to 3V3 of FIL0: the board file has none"


@pytest.mark.parametrize(
    ("text", "ohm"),
    [
        ("4k7", 4700),
        ("4.7k", 4700),
        ("4,7K 1%", 4700),
        ("4700", 4700),
        ("10R", 10),
        ("R10", 0.1),
        ("0R1 0805", 0.1),
        ("1M", 1e6),
        ("5m", 0.005),
        ("100 ohm 1/8W", 100),
        ("100n", None),
        ("0603 4k7", None),
        ("", None),
        ("k", None),
    ],
)
def test_resistances_as_parts_lists_write_them(text, ohm):
    """IEC 60062 and common practice; a package before the value is not taken for one."""
    assert ohm_of(text) == pytest.approx(ohm)


def test_tables_without_their_columns_are_told_what_is_missing():
    """A netlist as CSV needs three; with them it is the same as any other."""
    with pytest.raises(UnreadableError, match="names no column pin"):
        read("net;reference\nA;J1\n")
    with pytest.raises(UnreadableError, match=r"board.ipc:2:8: a quotation mark is not closed"):
        read('net,reference,pin\n"A",J1,"1\n')
    assert read('Pin;Ref;Net\n1;J1;"A;B"\n').pins["J1"]["1"].net == "A;B"


def test_the_command_makes_and_compares(tmp_path, capsys, contract):
    """A board of a netlist is read by what reads boards; differences end with 1 and as JSON."""
    netlist, board = tmp_path / "b.ipc", tmp_path / "board.toml"
    netlist.write_text(exported(demo("lapwing-c")))
    words = ["board", "--netlist", str(netlist)]
    assert main([*words, "--connector", "J1=link", "--into", str(board)]) == 0
    assert load_board(board).connectors["link"].reference == "J1"
    assert main([*words, "--against", str(board)]) == 0
    assert main([*words, "--into", str(board)]) == 2  # never over a file that is there
    old = str(api.demo("boards/lapwing-b.toml"))
    capsys.readouterr()
    assert main([*words, "--against", old, "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    contract("board").validate(document)
    # Without a parts list the pull-ups of a board file were not looked at.
    netlist.write_text(exported(demo("heron-2")))
    assert main([*words, "--against", str(api.demo("boards/heron-2.toml"))]) == 3
