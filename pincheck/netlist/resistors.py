"""Resistors between nets: what of a parts list a board file can say as pulls and joined grounds."""

from collections.abc import Iterator, Mapping

from pincheck.model.frozen import frozen
from pincheck.netlist.points import Netlist
from pincheck.netlist.read import ListedResistor
from pincheck.wiring.board import volts_by_name

LINK_OHM = 0.1
"""Up to here a resistor is a link (`common practice`: a jumper of 0 ohm has up to 50 mohm)."""


@frozen
class PlacedResistor:
    """A fitted resistor of the list and its two nets."""

    listed: ListedResistor
    ohm: float
    nets: tuple[str, str]

    def pull_from(self, net: str) -> float | None:
        """Return the volts of the rail that this resistor pulls a net to, None for no rail.

        A net that is a rail itself is not pulled.
        """
        if net not in self.nets or volts(net) is not None:
            return None
        return volts(self.nets[self.nets.index(net) - 1])

    @property
    def said(self) -> str:
        """The resistor and its nets in words."""
        return f"{self.listed.reference}, {self.ohm:g} ohm, between {' and '.join(self.nets)}"


def volts(net: str) -> float | None:
    """Return the volts that a layout's net name promises, None where it promises none.

    Hierarchy before the name counts for nothing.
    """
    return volts_by_name(bare(net), None)


def bare(net: str) -> str:
    """Return a net's name without the path of its sheet."""
    return net.rpartition("/")[2] or net


def placed(netlist: Netlist, parts: Mapping[str, ListedResistor]) -> Iterator[PlacedResistor]:
    """Yield each fitted resistor of the list that stands between two nets."""
    for reference, listed in parts.items():
        nets = tuple(point.net for point in netlist.pins.get(reference, {}).values())
        if listed.ohm is not None and len(nets) == 2 and all(nets) and nets[0] != nets[1]:
            yield PlacedResistor(listed, listed.ohm, (nets[0], nets[1]))


def not_placed(netlist: Netlist, parts: Mapping[str, ListedResistor]) -> Iterator[str]:
    """Yield, in words, each fitted resistor of the list that is not known to stand anywhere."""
    for reference, listed in parts.items():
        if listed.ohm is not None and reference not in netlist.pins:
            yield f"{reference} of the parts list is not in the netlist"
    for reference in netlist.pins:
        if reference[:1].upper() == "R" and reference[1:].isdigit() and reference not in parts:
            yield f"{reference} of the netlist is not in the parts list"
