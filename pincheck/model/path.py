"""The copper from a chip pin to a part."""

from typing import Literal

from attrs import field

from pincheck.model.claim import Place
from pincheck.model.frozen import frozen
from pincheck.model.role import split
from pincheck.model.source import Span
from pincheck.model.wiring import (
    NO_SIGNAL,
    Driver,
    Fit,
    Part,
    PullResistor,
    Signal,
    Switch,
    Track,
    VoltageDivider,
    Wire,
)

HopKind = Literal[
    "chip", "switch", "divider", "driver", "amplifier", "connector", "cable", "net", "part"
]


@frozen
class Hop:
    """One step of a path: what it is, on which board (empty for a cable or part), in words."""

    kind: HopKind
    board: str
    text: str
    at: Span | None = field(default=None, eq=False)


@frozen
class Contact:
    """A connector that a path crosses: how many pins in parallel, and one contact's rating."""

    board: str
    connector: str
    pins: tuple[int, ...]
    contact_a: float | None


@frozen
class Path:
    """Hops from the chip pin (or rail) to the part's terminal, with the figures on the way."""

    hops: tuple[Hop, ...]
    switch: Switch | None = None
    inverting: bool = False
    """Whether the load is on while the chip pin is low, through all switches of the chain."""
    divider: VoltageDivider | None = None
    driver: Driver | None = None
    pullups: tuple[PullResistor, ...] = ()
    pulldowns: tuple[PullResistor, ...] = ()
    series_ohm: float = 0.0
    amplifier: str = ""
    reference_ohm: float | None = None
    contacts: tuple[Contact, ...] = ()
    tracks: tuple[tuple[str, Track], ...] = ()
    """(net's name, track) for every net that gives one."""
    wires: tuple[Wire, ...] = ()
    in_parallel: tuple[int, ...] = ()
    """For each of `wires`, how many conductors share the current."""
    fuse: tuple[tuple[str, str], float] | None = None
    """The weakest fuse on the way: its (board key, net) and its rating in A."""

    @property
    def fuse_a(self) -> float | None:
        """Rating of the weakest fuse on the way."""
        return self.fuse[1] if self.fuse else None

    def line(self, arrow: str = " -> ") -> str:
        """Return the path as one readable line."""
        return arrow.join(hop.text for hop in self.hops)


@frozen(slots=False)
class Wired:
    """What the copper does for one role.

    `place` is the chip pin that the role's own terminal reaches, None where it reaches none
    (`reason` says why, or that a motor hangs on a driver). `supply_v` is the voltage across the
    part's supply: rail minus ground, None where a terminal reaches no rail or both the same.
    `supply` is the other conductor's path. `switch_mates` are the other roles on the same
    switched net.
    """

    role: str
    fit: Fit
    part: Part
    path: Path
    place: Place | None = None
    reason: str = ""
    supply_v: float | None = None
    supply: Path | None = None
    supply_max_a: float | None = None
    supply_rail: tuple[str, str] | None = None
    """(board key, net) that feeds the part."""
    switched_net: tuple[str, str] | None = None
    """(board key, net) on the load's side of the switch."""
    switch_mates: tuple[str, ...] = ()

    @property
    def signal(self) -> Signal:
        """What the role reads from its part; nothing where it drives it."""
        match split(self.role)[2]:
            case "tachometer":
                return self.part.tachometer
            case "servo":
                return NO_SIGNAL
        return self.part.signal

    @property
    def always_on(self) -> bool:
        """Whether the part sits straight on its supply, with nothing that could switch it."""
        return self.supply_v is not None and not (self.place or self.path.driver)


@frozen
class WiringFault:
    """Something wrong in the copper itself, whatever the firmware says.

    `kind` is what the rule for it looks for.
    """

    kind: Literal[
        "no-chip-pin", "shared-pin", "supplies-joined", "reversed", "no-supply", "supply-on-signal",
        "return-driven", "coils-crossed",
    ]  # fmt: skip
    roles: tuple[str, ...]
    message: str
    path: Path | None = None
    volts: tuple[float, ...] = ()
    at: Span | None = field(default=None, eq=False)


@frozen(slots=False)
class Trace:
    """Every role's copper, both directions, and what is wrong in it."""

    wired: tuple[Wired, ...]
    faults: tuple[WiringFault, ...] = ()

    def find(self, role: str) -> Wired | None:
        """Return the copper of a role, None where nothing is fitted."""
        return next((wired for wired in self.wired if wired.role == role), None)

    def at(self, place: Place) -> tuple[Wired, ...]:
        """Return every role that one chip pin reaches."""
        return tuple(wired for wired in self.wired if wired.place == place)

    def roles(self) -> frozenset[str]:
        """Return every role that something is fitted for."""
        return frozenset(wired.role for wired in self.wired)
