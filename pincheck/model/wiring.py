"""Boards, cables, parts and how an assembly joins them, as the wiring files say it."""

from collections.abc import Iterator, Mapping
from typing import Literal

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.role import sibling, split
from pincheck.model.setting import StyleName
from pincheck.model.source import Source, Span

Unverified = tuple[str, ...]


@frozen
class Switch:
    """A transistor between a driving net and the net it switches.

    `flyback` says whether a diode for inductive loads is fitted (None: not said); `inverting`
    that the load is on while the chip pin is low.
    """

    side: Literal["low", "high"]
    max_a: float | None = None
    rds_on_mohm: float | None = None
    inverting: bool = False
    flyback: bool | None = None


@frozen
class PullResistor:
    """A resistor from a net to a rail (`to_v`, 0 for ground)."""

    ohm: float
    to_v: float
    tolerance_pct: float = 1.0


@frozen
class VoltageDivider:
    """Two resistors that scale a signal down before it reaches the chip."""

    top_ohm: float
    bottom_ohm: float

    @property
    def ratio(self) -> float:
        """Voltage out over voltage in."""
        return self.bottom_ohm / (self.top_ohm + self.bottom_ohm)


@frozen
class Track:
    """A copper track; `layer` decides how it sheds heat."""

    width_mm: float
    weight_oz: float = 1.0
    layer: Literal["outer", "inner"] = "outer"
    length_mm: float | None = None


Line = Literal[
    "tx", "rx", "serial", "can-high", "can-low", "usb-plus", "usb-minus",
    "spi-clock", "spi-to-chip", "spi-from-chip", "spi-select", "plus", "minus",
]  # fmt: skip
"""Wires between boards: of serial lines, buses and the input of a relay (`plus`, `minus`)."""


@frozen
class Net:
    """One net of one board.

    A net reaches the chip directly (`chip_pin`) or is driven by another net of its board
    (`driven_by`) through a switch or divider. A rail has `supply_v`; ground has 0. `fed_here`
    says that the board itself feeds the rail; a breakout's `24V` is fed through a cable.
    `joined_to` is the other ground of its board that a ground meets, empty where it meets none;
    None is what boards usually do: all grounds meet where there is a chip, and none elsewhere.
    `line` says what a wire to another board carries, empty where nobody does.
    """

    name: str
    chip_pin: str = ""
    driven_by: str = ""
    switch: Switch | None = None
    pullup: PullResistor | None = None
    pulldown: PullResistor | None = None
    divider: VoltageDivider | None = None
    series_ohm: float = 0.0
    supply_v: float | None = None
    max_a: float | None = None
    fuse_a: float | None = None
    amplifier: str = ""
    reference_ohm: float | None = None
    driver: str = ""
    track: Track | None = None
    joined_to: str | None = None
    line: Line | Literal[""] = ""
    fed_here: bool = False
    at: Span | None = field(default=None, eq=False)

    @property
    def is_ground(self) -> bool:
        """Whether the net is ground."""
        return self.supply_v == 0.0

    @property
    def is_rail(self) -> bool:
        """Whether the net is a supply rail or ground."""
        return self.supply_v is not None


@frozen
class Connector:
    """One connector: `pins` are net names from pin 1 on, empty for a pin not connected.

    `keyed`, `shroud` and `latch` say what keeps a plug from going on wrong (None: not said),
    `plugged` the positions without a pin where the plug's hole is filled; plugs of another
    `coding` do not go in. `reference` is what the layout calls it. With `numbering` "zigzag" pins
    1 and 2 stand side by side in two rows.
    """

    name: str
    pins: tuple[str, ...]
    pitch_mm: float | None = None
    rows: int = 1
    numbering: Literal["zigzag", "rows"] = "zigzag"
    keyed: bool | None = None
    shroud: bool | None = None
    latch: bool | None = None
    plugged: tuple[int, ...] = ()
    coding: str = ""
    contact_a: float | None = None
    jumper_v: tuple[float, ...] = ()
    reference: str = ""
    at: Span | None = field(default=None, eq=False)
    pin_spans: tuple[Span, ...] = field(default=(), eq=False)


@frozen
class Driver:
    """A motor driver of a board: its pins and its limits.

    `enable_high` says that it is on while its enable pin is high, as few are. `uart_pin` is that of
    the serial line by which the firmware sets it up, at `uart_address` where several share one,
    `cs_pin` the chip select in place of that. `number` is what scripts call it by.
    `type` is that of a chip which the firmware sets up over a wire, or another for one with a
    trimmer; empty where nobody says.
    `coils` are the nets of its motor where they are listed: both ends of one coil, then of the
    other.
    """

    name: str
    step_pin: str = ""
    dir_pin: str = ""
    enable_pin: str = ""
    enable_high: bool = False
    uart_pin: str = ""
    uart_address: int | None = None
    cs_pin: str = ""
    number: int | None = None
    max_a: float | None = None
    sense_ohm: float | None = None
    type: str = ""
    coils: tuple[str, ...] = ()
    at: Span | None = field(default=None, eq=False)


@frozen
class Board:
    """One printed board; a mainboard or tool-head board with a chip, a breakout without.

    `pin_names` gives per style the board's own names for chip pins; `stock_pins` the pins that
    the board's own pins header sets in the define style, key to pin as written, and those that
    the numbers of older scripts mean. `crystal` and `usb` say whether the chip's pins for them
    are taken by them (None: not said).
    """

    name: str
    revision: str = ""
    chip: str = ""
    supply_v: float | None = None
    supply_max_a: float | None = None
    mains: bool = False
    crystal: bool | None = None
    usb: bool | None = None
    copper: Track | None = None
    nets: Mapping[str, Net] = field(factory=dict)
    connectors: Mapping[str, Connector] = field(factory=dict)
    drivers: Mapping[str, Driver] = field(factory=dict)
    pin_names: Mapping[StyleName, Mapping[str, str]] = field(factory=dict)
    stock_pins: Mapping[str, str] = field(factory=dict)
    identifiers: tuple[str, ...] = ()
    source: Source | None = field(default=None, eq=False)
    at: Span | None = field(default=None, eq=False)

    @property
    def title(self) -> str:
        """Name and revision."""
        return f"{self.name} {self.revision}".strip()


@frozen
class Wire:
    """The conductors of a cable, for drop and rating; `of` tells alike ones apart."""

    awg: int
    length_m: float
    of: str = field(default="", eq=False)


@frozen
class Cable:
    """A cable between two connectors, `from_` and `to` as (board key, connector name).

    `pairs` are (pin at `from_`, pin at `to`), from 1, worked out from straight, mirrored or a list.
    """

    from_: tuple[str, str]
    to: tuple[str, str]
    pairs: tuple[tuple[int, int], ...]
    wiring: str = "straight"
    wire: Wire | None = None
    at: Span | None = field(default=None, eq=False)


PartKind = Literal[
    "heater", "sensor", "fan", "probe", "servo", "motor", "endstop", "block", "plate", "output"
]


@frozen
class Signal:
    """What a terminal that is read gives: how it drives its line, and the pull that it needs.

    `triggered` is its own level when it is triggered; for a switch, with its pull-up. `pulses` are
    those of one turn, of a tachometer.
    """

    output: Literal["", "npn", "pnp", "push-pull", "open-drain", "open-collector", "switch"] = ""
    triggered: Literal["", "high", "low"] = ""
    signal_v: float | None = None
    needs_pull: Literal["", "up", "down"] = ""
    pulses: float | None = None


NO_SIGNAL = Signal()

_BROUGHT = {"signal": ("control", "servo"), "fan": ("tachometer", "tachometer")}
"""By function, the terminal that brings another function along: a probe's servo, say."""


@frozen
class Part:
    """A catalogue entry of a generic kind with the figures of its kind.

    `terminals` name what each terminal wants, in the order of the part's plug: `supply`,
    `ground`, `signal`, `control`, `switched`, `any` (no polarity), `coil`, `tachometer`. `signal`
    is what the terminal gives through which the part itself is read, `tachometer` what a fan's
    gives. `curve` holds (C, ohm) of the sensor's data sheet. Where those of its kind
    differ, `max_c` is what the least of them stand. Figures that a kind does not have, or that
    nobody gave, are None.
    """

    id: str
    kind: PartKind
    terminals: tuple[str, ...] = ()
    title: str = ""
    rated_v: float | None = None
    supply_min_v: float | None = None
    supply_max_v: float | None = None
    power_w: float | None = None
    resistance_ohm: float | None = None
    tolerance_pct: float | None = None
    current_a: float | None = None
    inrush_ratio: float | None = None
    pwm_min_hz: float | None = None
    pwm_max_hz: float | None = None
    min_duty: float | None = None
    sensor: str = ""
    curve: tuple[tuple[float, float], ...] = ()
    beta_tolerance_pct: float | None = None
    max_c: float | None = None
    max_c_at_best: float | None = None
    max_c_because: str = ""
    heat_capacity_j_k: float | None = None
    loss_w_k: float | None = None
    fan_loss_w_k: float | None = None
    lag_s: float | None = None
    probe_kind: str = ""
    signal: Signal = NO_SIGNAL
    tachometer: Signal = NO_SIGNAL
    speed_rpm: float | None = None
    steps_per_turn: int | None = None
    phase_ohm: float | None = None
    mains: bool = False
    source: str = ""
    at: Span | None = field(default=None, eq=False)

    def serves(self, role: str) -> Iterator[str]:
        """Yield a role that the part is fitted for, and the one that its plug brings along."""
        yield role
        wants, brought = _BROUGHT.get(split(role)[2], ("", ""))
        if wants and wants in self.terminals:
            yield sibling(role, brought)


@frozen
class MainsFacts:
    """What cannot be measured of a part on mains and has to be seen (None: not said)."""

    earthed: bool | None = None
    cut_out: bool | None = None
    live_switched: bool | None = None


@frozen
class Fit:
    """One part fitted to one connector for one role.

    `connector` is (board key, connector's name), None for a part without wires (block, plate).
    `pins` gives, for each terminal of the part, the connector's pin from 1.
    """

    name: str
    role: str
    part: Part
    connector: tuple[str, str] | None = None
    pins: tuple[int, ...] = ()
    wire: Wire | None = None
    mains: MainsFacts = MainsFacts()
    at: Span | None = field(default=None, eq=False)


@frozen
class Limit:
    """A temperature limit that the assembly states for a group, and why."""

    group: str
    max_c: float
    because: str = ""
    at: Span | None = field(default=None, eq=False)


@frozen(slots=False)
class Assembly:
    """Everything that is wired together in one machine.

    `chips` binds a chip's name as users write it (a second chip's name in the section style, a
    board number in the gcode style) to a board key. `supplied` are boards that a supply feeds
    without a cable of the assembly, beside the main one. `unknown` are roles that are fitted,
    nobody knows where or how. `unverified` are the marks that a draft still carries, as
    "file:line". Neither is a basis for "agrees".
    """

    name: str
    boards: Mapping[str, Board]
    cables: tuple[Cable, ...] = field(default=())
    fits: tuple[Fit, ...] = field(default=())
    limits: tuple[Limit, ...] = ()
    chips: Mapping[str, str] = field(factory=dict)
    ambient_c: float = 25.0
    supplied: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    unverified: Unverified = ()
    sources: tuple[Source, ...] = field(default=(), eq=False)

    @property
    def main(self) -> str:
        """Key of the board with the main chip: `main` if so named, else the first with a chip."""
        with_chip = [key for key, board in self.boards.items() if board.chip]
        return "main" if "main" in with_chip else next(iter(with_chip), "")


@frozen
class Itself:
    """An assembly as a key: its tables cannot be hashed, and comparing them would take longer."""

    assembly: Assembly = field(eq=id)
