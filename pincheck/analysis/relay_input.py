"""What the input of a relay gets while its load is on."""

from pincheck.analysis.case import Case
from pincheck.analysis.currents import solved
from pincheck.circuit import states
from pincheck.model.path import Wired

_CLOSES_V = 3.0
"""Inputs of solid-state relays close from 3 V on (`common practice`)."""


def relay_lacks(case: Case, wired: Wired) -> str:
    """Return what the input of the relay that switches a part lacks, empty where nothing is known.

    Which way round it is says only a board file that names its `plus` and `minus`.
    """
    network, key = case.circuit.network, wired.switched_net
    if key is None or ("switch", *key) not in network.chains or wired.role in case.shorted:
        return ""
    found = solved(case, states.loads(network, ("switch", *key)))
    nets = case.assembly.boards[key[0]].nets
    line = nets[nets[key[1]].driven_by].line if nets[key[1]].driven_by in nets else ""
    for element in network.of_kind("gate") if found else ():
        if element.key[1:3] != key or len(element.key) != 4 or found is None:
            continue
        held = element.one not in found.floating and element.two not in found.floating
        volts = found.across_v(element) if held else 0.0
        if abs(volts) < _CLOSES_V:
            return f"gets {abs(volts):.1f} V at its input while it is told to close"
        if (line == "plus" and volts < 0) or (line == "minus" and volts > 0):
            return "has its input the wrong way round"
    return ""
