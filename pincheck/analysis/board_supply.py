"""Whether a board with a chip gets its supply, and gives it back by its ground."""

from pincheck.analysis.case import Case
from pincheck.analysis.currents import solved
from pincheck.circuit import AT_REST, Node
from pincheck.wiring.copper import Copper
from pincheck.wiring.faults import logic_v

_ENOUGH = 0.9
"""Of its supply: a chip starts at a little less (data sheets of common microcontrollers)."""

_LIFTED_V = 0.4
"""No lead drops as much with everything off; a silicon diode does (`common practice`)."""


def runs(case: Case, board: str) -> bool:
    """Whether the chip of a board gets its supply with everything off, true where nobody knows."""
    chip, rest = case.circuit.network.elements.get(("input", board)), solved(case, AT_REST)
    if board in case.circuit.network.unfed:
        return False
    if chip is None or rest is None:
        return True
    floats = chip.one in rest.floating
    return not floats and rest.across_v(chip) >= _ENOUGH * logic_v(case.assembly.boards[board].chip)


def lacks(case: Case, board: str) -> str:
    """Return which of its two wires a board lacks, empty where it has both."""
    network, it = case.circuit.network, case.assembly.boards[board]
    chip, found = network.elements.get(("input", board)), solved(case, AT_REST)
    if chip is None or found is None or Node("star", board) in network.stars:
        return ""
    # Through its parts a ground that hangs in the air is pulled up, by a chip's diode at least.
    star = found.volts(chip.two)
    if star is None or abs(star) > _LIFTED_V:
        return "has no way to ground"
    rails = (net.supply_v for net in it.nets.values() if net.supply_v)
    volts = it.supply_v or max(rails, default=logic_v(it.chip))
    return "" if runs(case, board) else f"gets no {volts:g} V"


def signals(case: Case, board: str) -> bool:
    """Whether a cable joins a net of a board that is no rail to another board."""
    copper = Copper(case.assembly)
    for cable in case.assembly.cables:
        ends = (cable.from_, cable.to)
        if board in (cable.from_[0], cable.to[0]):
            for pair in cable.pairs:
                keys = [copper.at_pin(end, pin) for end, pin in zip(ends, pair, strict=True)]
                if all(key and not copper.is_rail(key) for key in keys):
                    return True
    return False
