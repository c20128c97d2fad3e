"""What wiring files come to when nothing is wrong with them."""

import tomllib

import pytest
from attrs import fields
from wiring_machines import MACHINE, MAIN, cable, connector, fit, machine, write

from pincheck import resources
from pincheck.model.wiring import (
    Connector,
    Driver,
    Net,
    Part,
    PullResistor,
    Signal,
    Switch,
    Track,
    Wire,
)
from pincheck.wiring import load, load_board, schema
from pincheck.wiring.board import volts_by_name

CONFIGS = resources.folder("configs")


@pytest.mark.parametrize("name", ["marsh-230-b", "marsh-230-c", "marsh-230-curlew"])
def test_the_demo_machines_load(name):
    """Every demo assembly is free of mistakes and fits a hot end, a bed and a probe."""
    assembly = load(CONFIGS / f"{name}.toml")
    roles = {fit.role for fit in assembly.fits}
    assert {"hotend.heater", "hotend.sensor", "bed.heater", "probe.signal"} <= roles
    assert assembly.main == "main"
    assert assembly.unverified == ()


def test_a_mainboard_is_read_in_full():
    """Nets, pulls, switches, drivers, connectors and pin names as the file has them."""
    board = load_board(CONFIGS / "boards" / "heron-2.toml")
    assert board.title == "Heron 2"
    assert (board.chip, board.supply_v, board.supply_max_a) == ("stm32f401rct6", 24.0, 14.6)
    assert board.nets["HEAT0"] == Net(
        "HEAT0", chip_pin="PC8", switch=Switch("low", max_a=8.0, rds_on_mohm=6.0)
    )
    assert board.nets["TH0"].pullup == PullResistor(4700, 3.3, 1.0)
    assert board.nets["AGND"].is_ground
    coils = ("E0_1A", "E0_1B", "E0_2A", "E0_2B")
    assert board.drivers["E0"] == Driver(
        "E0", "PB3", "PB4", "PB5", max_a=2.0, sense_ohm=0.11, coils=coils
    )
    assert board.nets["E0_1A"].driver == "E0"
    ribbon = board.connectors["toolhead"]
    assert (len(ribbon.pins), ribbon.rows, ribbon.keyed, ribbon.contact_a) == (20, 2, True, 3.0)
    assert board.pin_names["gcode"]["e0heat"] == "PC8"
    assert board.stock_pins["FAN_PIN"] == "PB7"
    assert board.identifiers == ("BOARD_HERON_2",)


def test_places_are_those_of_the_file():
    """A net points at its header's name, a connector's pin at its own text."""
    board = load_board(CONFIGS / "boards" / "heron-2.toml")
    assert board.source is not None
    lines = board.source.text.splitlines()
    net = board.nets["HEAT0"].at
    assert lines[net.line - 1][net.column - 1 :] == "HEAT0]"
    third = board.connectors["toolhead"].pin_spans[2]
    assert board.source.text[third.start : third.end] == '"HEAT0"'


def test_a_track_takes_weight_and_layer_from_the_board(tmp_path):
    """The board's copper counts for every track that does not say otherwise."""
    text = """
[board]
name = "Avocet"
copper = { weight_oz = 2.0, layer = "inner" }
[nets]
A.track = { width_mm = 1.5 }
B.track = { width_mm = 0.5, layer = "outer" }
""" + connector("in", "A", "B")
    board = load_board(write(tmp_path, machine=text))
    assert board.nets["A"].track == Track(1.5, 2.0, "inner")
    assert board.nets["B"].track == Track(0.5, 2.0, "outer")


@pytest.mark.parametrize(
    ("name", "supply", "volts"),
    [
        ("24V", None, 24.0),
        ("3V3", None, 3.3),
        ("3.3V", None, 3.3),
        ("+5V", None, 5.0),
        ("5v", None, 5.0),
        ("GND", None, 0.0),
        ("AGND", None, 0.0),
        ("PGND", None, 0.0),
        ("0V", None, 0.0),
        ("VIN", 12.0, 12.0),
        ("VMOT", 24.0, 24.0),
        ("VIN", None, None),
        ("HEAT0", 24.0, None),
        ("E0_1A", 24.0, None),
        ("V", 24.0, None),
        ("5VA", 24.0, None),
    ],
)
def test_rails_by_name(name, supply, volts):
    """A rail says its voltage; an input carries the board's supply; nothing else is a rail."""
    assert volts_by_name(name, supply) == volts


def test_an_explicit_supply_beats_the_name(tmp_path):
    """A net called 24V on a 12 V machine is what its table says."""
    board = load_board(
        write(
            tmp_path,
            machine='[board]\nname = "A"\n[nets]\n24V.supply_v = 12\n' + connector("in", "24V"),
        )
    )
    assert board.nets["24V"].supply_v == 12.0
    assert board.nets["24V"].fed_here


def test_cables_are_worked_out_pin_by_pin(tmp_path):
    """Straight, mirrored, and a list that leaves pins out."""
    pins = ("24V", "HEAT", "GND")
    tool = connector("in", *pins) + connector("heat", "24V", "HEAT")
    main = connector("out", *pins)

    def pairs(wiring):
        return machine(tmp_path, main, tool, cable(wiring)).cables[0].pairs

    assert pairs('"straight"') == ((1, 1), (2, 2), (3, 3))
    assert pairs('"mirrored"') == ((1, 3), (2, 2), (3, 1))
    assert pairs("[[1, 2], [3, 1]]") == ((1, 2), (3, 1))


def test_parts_of_ones_own_beat_the_built_in_ones(tmp_path):
    """A parts file beside the assembly is used, and wins over a built-in part of that name."""
    own = '[heater-24v-40w]\nkind = "heater"\npower_w = 45\n[my-fan]\nkind = "fan"\n'
    text = MACHINE
    main = MAIN + connector("heat", "24V", "HEAT")
    text += fit("hotend.heater", "main.heat", "heater-24v-40w")
    path = write(tmp_path, parts=own, main=main, tool='[board]\nname = "A"\n', machine=text)
    part = load(path).fits[0].part
    assert part.power_w == 45.0
    assert part.terminals == ("any", "any")


def test_draft_marks_are_collected(tmp_path):
    """Marked cables, fits and limits, as file and line of their headers, in the file's order."""
    text = fit("hotend.heater", "tool.heat", "heater-24v-40w", "unverified = true")
    text += "\n[limits.hotend]\nmax_c = 240\nunverified = true\n"
    text += cable() + "unverified = true\n"
    heat = ("24V", "HEAT")
    assembly = machine(
        tmp_path, connector("out", *heat), connector("in", *heat) + connector("heat", *heat), text
    )
    marked = (assembly.fits[0].at, assembly.limits[0].at, assembly.cables[0].at)
    assert assembly.unverified == tuple(f"machine.toml:{span.line}" for span in marked)
    lines = assembly.sources[0].text.splitlines()
    assert [lines[span.line - 1] for span in marked] == [
        "[fit.hotend_heater]",
        "[limits.hotend]",
        "[[cables]]",
    ]


def test_byte_order_mark_and_line_endings_change_nothing(tmp_path):
    """The same machine whatever editor saved it, with places that still point right."""
    text = '[board]\nname = "Avocet"\n\n[nets.A]\nsupply_v = 5\n' + connector("in", "A")
    plain, other = tmp_path / "a.toml", tmp_path / "b.toml"
    plain.write_bytes(text.encode())
    other.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    one, two = load_board(plain), load_board(other)
    assert one == two
    assert one.nets["A"].at.line == two.nets["A"].at.line == 4


def test_every_key_of_the_schema_is_one_of_the_model():
    """The tables name what the classes hold, so that no key is read and then lost."""

    def names(cls):
        return {field.name for field in fields(cls)}

    assert set(schema.NET) == names(Net) - {"name", "at", "fed_here"}
    assert set(schema.CONNECTOR) == names(Connector) - {"name", "at", "pin_spans"}
    assert set(schema.DRIVER) == names(Driver) - {"name", "at"}
    own = set(schema.SIGNAL)
    assert set(schema.PART) - own == names(Part) - {"id", "at", "signal"}
    assert own | set(schema.TACHOMETER) == names(Signal)


def test_a_fits_wire_and_a_cables_wire_are_kept(tmp_path):
    """Gauge and length, for drop and rating."""
    heat = ("24V", "HEAT")
    assembly = machine(
        tmp_path,
        connector("out", *heat),
        connector("in", *heat) + connector("heat", *heat),
        cable()
        + "wire = { awg = 28, length_m = 0.6 }\n"
        + fit("hotend.heater", "tool.heat", "heater-24v-40w", "wire = {awg = 20, length_m = 0.1}"),
    )
    assert assembly.cables[0].wire == Wire(28, 0.6)
    assert assembly.fits[0].wire == Wire(20, 0.1)


def test_the_catalogue_covers_every_kind():
    """A user finds a generic part of each kind, with the figures that its checks need."""
    catalogue = tomllib.loads((CONFIGS / "parts.toml").read_text(encoding="utf-8"))
    assert {part["kind"] for part in catalogue.values()} == set(schema.PART["kind"].choices)
    for id_, part in catalogue.items():
        if part["kind"] == "heater":
            assert part["resistance_ohm"] == pytest.approx(
                part["rated_v"] ** 2 / part["power_w"], rel=0.01
            ), id_
