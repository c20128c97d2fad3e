"""Nodes, and the elements between them."""

from collections.abc import Hashable, Iterator, Mapping
from functools import cached_property
from typing import Literal

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.source import Span
from pincheck.model.wiring import Track, Wire

Key = tuple[Hashable, ...]
"""Names one element or carrier, its kind first: `("switch", board, net)`."""


@frozen(cache_hash=True)
class Node:
    """A point that has one voltage.

    - `net`: where a net of board `at` has its star, and `star` where all grounds of a board with a
      chip meet; `pad`: the net at one connector (`of`); `chip`: its side towards the chip, behind
      a resistor or at a switch's gate; `rail`: a supply inside the board, in volts (`name`).
    - `plug`: contact `name` (from 1) of the plug pulled off connector `of`.
    - `terminal`: terminal `name` (from 0) of fitted part `at`.
    """

    kind: Literal["net", "star", "pad", "plug", "chip", "rail", "terminal"]
    at: str
    name: str = ""
    of: str = ""

    def __str__(self) -> str:
        if self.kind == "terminal":
            return f"terminal {int(self.name) + 1} of {self.at}"
        if self.kind == "plug":
            return f"contact {self.name} of {self.at}.{self.of}"
        where = {"pad": f" at {self.of}", "chip": " at the chip"}.get(self.kind, "")
        return f"{self.name or 'ground'} of {self.at}{where}"


@frozen
class Band:
    """A resistance in ohm: the likely one, and between which it may lie.

    `assumed` says what was taken for it because the wiring does not state it; empty where it does.
    """

    low: float
    nominal: float
    high: float
    assumed: str = ""

    def __add__(self, other: "Band") -> "Band":
        assumed = ", ".join(dict.fromkeys(filter(None, (self.assumed, other.assumed))))
        low, high = self.low + other.low, self.high + other.high
        return Band(low, self.nominal + other.nominal, high, assumed)


def exactly(ohm: float) -> Band:
    """Return the band of a resistance that is stated."""
    return Band(ohm, ohm, ohm)


@frozen
class Carrier:
    """One thing that the current of an element passes: a contact, wire, track or fuse.

    A net's track and fuse lie in several elements: at each connector, switch and supply of the
    net. `rating` is what decides how much it may carry: amperes, or the track or wire itself.
    """

    key: Key
    what: str
    rating: float | Track | Wire | None = None
    at: Span | None = field(default=None, eq=False)

    @property
    def kind(self) -> str:
        """`contact`, `wire`, `track` or `fuse`."""
        return str(self.key[0])


Kind = Literal[
    "conductor",  # of a cable: a contact, the wire, a contact
    "lead",  # of a part: a contact and the wire
    "track",  # of a net, from its star to one connector
    "joint",  # nets of one board that are one piece of copper
    "switch",
    "divider",
    "series",
    "pull",
    "gate",  # what drives a switch
    "input",  # of a chip, a driver at rest or a part
    "part",
    "output",  # of a chip or a part, while it drives
    "driver",  # a motor driver's regulated current
    "supply",
    "converter",  # from one rail of a board to another
    "draws",  # what converters take from their input
    "diode",
]


@frozen
class Element:
    """What lies between two nodes: its current from `one` to `two` is (U1 - U2 + emf) / R.

    A source drives with `emf_v`; so does a regulated current, through a resistance far above all
    else. A diode has the drop as a negative `emf_v` and carries nothing backwards. An element that
    is not `closed` carries nothing until a state closes it. `rated_a` is that of an electronic
    load, somewhere between its resistance and this current at any voltage.
    """

    key: Key
    kind: Kind
    one: Node
    two: Node
    ohm: Band
    emf_v: float = 0.0
    closed: bool = True
    rated_a: float | None = None
    carriers: tuple[Carrier, ...] = ()


@frozen(slots=False)
class Network:
    """All elements of an assembly.

    `stars` are the nodes that voltages are counted from: the first one is 0 V, another only where
    no copper joins its circuit to the first. `chains` gives for each switch (`("switch", board,
    net)`) the keys of all that is closed with it: switches before it and outputs that drive them.
    `unfed` are boards that nothing brings a supply to, with the reason.
    """

    elements: Mapping[Key, Element]
    stars: tuple[Node, ...] = ()
    chains: Mapping[Key, frozenset[Key]] = field(factory=dict)
    unfed: Mapping[str, str] = field(factory=dict)

    @cached_property
    def nodes(self) -> tuple[Node, ...]:
        """Every node once."""
        ends = (node for element in self.elements.values() for node in (element.one, element.two))
        return tuple(dict.fromkeys((*self.stars, *ends)))

    @cached_property
    def carriers(self) -> Mapping[Carrier, tuple[Key, ...]]:
        """Every contact, wire, track and fuse with the elements that it lies in."""
        found: dict[Carrier, list[Key]] = {}
        for key, element in self.elements.items():
            for carrier in element.carriers:
                found.setdefault(carrier, []).append(key)
        return {carrier: tuple(keys) for carrier, keys in found.items()}

    def of_kind(self, *kinds: Kind) -> Iterator[Element]:
        """Yield the elements of these kinds."""
        return (element for element in self.elements.values() if element.kind in kinds)
