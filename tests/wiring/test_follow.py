"""The other way round, and that both ways agree whatever the machine looks like."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pincheck import resources
from pincheck.model.claim import Place
from pincheck.model.wiring import Assembly, Board, Cable, Connector, Driver, Fit, Net, Part, Switch
from pincheck.wiring import Pin, follow, follow_pin, load, trace
from pincheck.wiring.copper import Copper

CONFIGS = resources.folder("configs")


def test_from_a_chip_pin_to_both_sockets():
    """One switched net, two sockets, on two boards."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    reached = follow(assembly, Place("main", "PB8"))
    assert reached.pins == (
        Pin("main", "toolhead", 9),
        Pin("tool", "link", 9),
        Pin("tool", "part_fan_a", 2),
        Pin("tool", "part_fan_b", 2),
    )
    assert [(fit.role, number) for fit, number in reached.terminals] == [
        ("part.fan", 1),
        ("part1.fan", 1),
    ]


def test_from_a_connectors_pin_to_the_chip():
    """A ribbon's pin is asked for: it names the chip pin, and for a coil the driver's pins."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    assert follow_pin(assembly, "tool", "link", 14).places == (Place("main", "PB1"),)
    coil = follow_pin(assembly, "tool", "extruder", 1)
    assert {place.pin for place in coil.places} == {"PB3", "PB4", "PB5"}
    assert [fit.role for fit, _ in coil.terminals] == ["extruder.motor"]


def test_a_pin_without_a_net_reaches_itself_only():
    """Ribbon pin 8 is not used by revision C."""
    assembly = load(CONFIGS / "marsh-230-c.toml")
    reached = follow_pin(assembly, "tool", "link", 8)
    assert (reached.nets, reached.pins) == ((), (Pin("tool", "link", 8),))
    with pytest.raises(KeyError):
        follow_pin(assembly, "tool", "lnik", 8)


def test_a_step_pin_reaches_its_motor():
    """Through the driver and all four coil nets."""
    reached = follow(load(CONFIGS / "marsh-230-c.toml"), Place("main", "PB3"))
    assert [(fit.role, number) for fit, number in reached.terminals] == [
        ("extruder.motor", number) for number in range(4)
    ]


FANS = tuple(f"part{number or ''}.fan" for number in range(4))
PART = Part("fan", "fan", ("any", "any"))
NAMES = ("24V", "GND", "A", "B", "C", "D", "M")


@st.composite
def machines(draw):
    """Three boards, any nets on any pins, any cables, any switches, a fan at each socket."""

    def board(chip):
        nets = {"24V": Net("24V", supply_v=24.0, fed_here=bool(chip))}
        nets["GND"] = Net("GND", supply_v=0.0, fed_here=bool(chip))
        earlier = [""]
        for name in NAMES[2:-1]:
            pin = draw(st.sampled_from(["", "P1", "P2", "P3"])) if chip else ""
            by = "" if pin else draw(st.sampled_from(earlier))
            switch = Switch("low") if (pin or by) and draw(st.booleans()) else None
            nets[name] = Net(name, chip_pin=pin, driven_by=by, switch=switch)
            earlier.append(name)
        nets["M"] = Net("M", driver="X" if chip else "")
        pins = st.lists(st.sampled_from(("", *NAMES)), min_size=4, max_size=4).map(tuple)
        connectors = {name: Connector(name, draw(pins)) for name in ("one", "two", "fan")}
        drivers = {"X": Driver("X", step_pin="S")} if chip else {}
        return Board("B", chip=chip, nets=nets, connectors=connectors, drivers=drivers)

    boards = {
        "main": board("chip"),
        "tool": board(""),
        "far": board(draw(st.sampled_from(["", "c"]))),
    }
    pairs = st.permutations((1, 2, 3, 4)).map(lambda to: tuple(zip((1, 2, 3, 4), to, strict=True)))
    cables = (
        Cable(("main", "one"), ("tool", "one"), draw(pairs)),
        Cable(("tool", "two"), ("far", "one"), draw(pairs)),
        Cable(("main", "two"), ("far", "two"), draw(pairs)),
    )
    fits = tuple(
        Fit(role, role, PART, (board, "fan"), draw(st.permutations((1, 2, 3, 4)))[:2])
        for role, board in zip(FANS, boards, strict=False)
    )
    return Assembly("any", boards, cables, fits)


@given(machines())
@settings(max_examples=100, deadline=None)
def test_both_ways_agree(assembly):
    """A role's chip pin leads back to its part, and every part that a pin drives names the pin."""
    traced = trace(assembly)
    for wired in traced.wired:
        if wired.place:
            back = follow(assembly, wired.place)
            assert wired.fit in [fit for fit, _ in back.terminals]
            assert wired.path.line().startswith(wired.place.pin)
            assert wired.path.hops[-1].kind == "part"
        else:
            assert wired.reason
    for board in assembly.boards:
        for pin in ("P1", "P2", "P3"):
            for fit, _ in follow(assembly, Place(board, pin)).terminals:
                found = traced.find(fit.role)
                assert found.place or found.path.driver


@given(machines())
@settings(max_examples=25, deadline=None)
def test_pins_of_one_node_name_the_same_chip_pins(assembly):
    """Whichever connector's pin of a net is asked, the answer is the same."""
    copper = Copper(assembly)
    for board, it in assembly.boards.items():
        for connector in it.connectors.values():
            for number, net in enumerate(connector.pins, 1):
                if not net:
                    continue
                node = copper.node((board, net))
                reached = follow_pin(assembly, board, connector.name, number)
                assert Pin(board, connector.name, number) in reached.pins
                for other in reached.pins:
                    back = follow_pin(assembly, other.board, other.connector, other.pin)
                    if copper.at_pin((other.board, other.connector), other.pin) in node:
                        assert back.places == reached.places


@given(machines())
@settings(max_examples=100, deadline=None)
def test_no_fault_is_without_words_or_kind(assembly):
    """Any machine can be traced, however absurd, and every fault says what it is."""
    for fault in trace(assembly).faults:
        assert fault.message
        assert set(fault.roles) <= {fit.role for fit in assembly.fits}
