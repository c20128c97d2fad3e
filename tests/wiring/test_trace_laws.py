"""Laws of the trace, whatever the machine looks like, against another search from every pin."""

from collections import defaultdict

from hypothesis import given, settings
from hypothesis import strategies as st

from pincheck.model.wiring import Assembly, Board, Cable, Connector, Driver, Fit, Net, Part, Switch
from pincheck.wiring import trace
from pincheck.wiring.copper import Copper

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


def reached(assembly, board, pin):
    """Return the roles on whose connector's pins a chip pin's copper ends, with the terminals.

    A search over single connector pins: a net joins its pins, a cable one pin to one other, and
    `driven_by` leads from the driving net to the driven one only.
    """
    out = defaultdict(set)
    for key, it in assembly.boards.items():
        for name, net in it.nets.items():
            out[key, net.driven_by].add((key, name))
        for connector in it.connectors.values():
            for number, name in enumerate(connector.pins, 1):
                if name:
                    place = (key, connector.name, number)
                    out[key, name].add(place)
                    out[place].add((key, name))
    for cable in assembly.cables:
        for one, two in cable.pairs:
            out[*cable.from_, one].add((*cable.to, two))
            out[*cable.to, two].add((*cable.from_, one))
    found = {(board, name) for name, net in assembly.boards[board].nets.items()
             if net.chip_pin == pin}  # fmt: skip
    waiting = list(found)
    while waiting:
        for place in out[waiting.pop()] - found:
            found.add(place)
            waiting.append(place)
    return {
        (fit.role, terminal)
        for fit in assembly.fits
        for terminal, number in enumerate(fit.pins)
        if (*fit.connector, number) in found
    }


@given(machines())
@settings(max_examples=100, deadline=None)
def test_a_role_names_a_chip_pin_that_reaches_it_and_none_is_missed(assembly):
    """What the trace says of pin and part is what a search from the pin finds."""
    traced = trace(assembly)
    for wired in traced.wired:
        if wired.place:
            ends = reached(assembly, wired.place.board, wired.place.pin)
            assert wired.role in {role for role, _ in ends}
            assert wired.path.line().startswith(wired.place.pin)
            assert wired.path.hops[-1].kind == "part"
        else:
            assert wired.reason
    for board, it in assembly.boards.items():
        for pin in {net.chip_pin for net in it.nets.values() if net.chip_pin}:
            for role, _ in reached(assembly, board, pin):
                found = traced.find(role)
                assert found.place or found.path.driver


@given(machines())
@settings(max_examples=50, deadline=None)
def test_the_drives_of_a_net_are_the_pins_that_reach_it(assembly):
    """All of them, on every terminal of every part."""
    copper = Copper(assembly)
    pins = [
        (board, net.chip_pin)
        for board, it in assembly.boards.items()
        for net in it.nets.values()
        if net.chip_pin
    ]
    ends = {pin: reached(assembly, *pin) for pin in pins}
    for fit in assembly.fits:
        for terminal in range(len(fit.pins)):
            key = copper.at_terminal(fit, terminal)
            drives = copper.drives(copper.node(key)) if key else ()
            places = {(d.place.board, d.place.pin) for d in drives if d.place}
            assert places == {pin for pin in pins if (fit.role, terminal) in ends[pin]}


@given(machines())
@settings(max_examples=100, deadline=None)
def test_no_fault_is_without_words_or_kind(assembly):
    """Any machine can be traced, however absurd, and every fault says what it is."""
    for fault in trace(assembly).faults:
        assert fault.message
        assert set(fault.roles) <= {fit.role for fit in assembly.fits}
