"""The keys of wiring files: kind, unit, allowed range and words, one table for each class.

A range is what the trade knows, with room on both sides: it catches a wrong unit (milliohm for
ohm, millimetre for metre), not an unusual part.
"""

from collections.abc import Callable, Mapping
from typing import Any, get_args

from pincheck.model.setting import STYLES
from pincheck.model.wiring import (
    Line,
    MainsFacts,
    PartKind,
    PullResistor,
    Signal,
    Switch,
    VoltageDivider,
    Wire,
)
from pincheck.toml.table import Field


def _number(words: str, unit: str, low: float, high: float, needed: bool = False) -> Field:
    return Field("number", words, unit, low, high, needed=needed)


def _integer(words: str, low: float, high: float, needed: bool = False) -> Field:
    return Field("integer", words, "", low, high, needed=needed)


def _text(words: str, needed: bool = False) -> Field:
    return Field("text", words, needed=needed)


def _choice(words: str, *choices: str, needed: bool = False) -> Field:
    return Field("choice", words, choices=choices, needed=needed)


def _flag(words: str) -> Field:
    return Field("flag", words)


def _table(words: str, keys: Mapping[str, Field], build: Callable[..., Any] | None = None) -> Field:
    return Field("table", words, keys=keys, build=build)


_LAYER = _choice("layer of the copper", "outer", "inner")
_WEIGHT = _number("copper weight", "oz", 0.25, 10)
_TRACK_WIDTH = _number("track width", "mm", 0.05, 100)
_VOLTS = _number("supply voltage", "V", 0, 400)
_AMPS = _number("highest current", "A", 0.001, 100)

_SWITCH = {
    "side": _choice("side of the load that is switched", "low", "high", needed=True),
    "max_a": _AMPS,
    "rds_on_mohm": _number("on-resistance", "mohm", 0.1, 5000),
    "inverting": _flag("load on while the chip pin is low"),
    "flyback": _flag("diode for inductive loads fitted"),
}
_PULL = {
    "ohm": _number("resistance", "ohm", 10, 10_000_000, needed=True),
    "to_v": _number("voltage of the rail it pulls to", "V", 0.5, 30, needed=True),
    "tolerance_pct": _number("tolerance", "%", 0.001, 50),
}
_PULLDOWN = {**_PULL, "to_v": _number("voltage of the rail it pulls to", "V", 0, 30)}
_DIVIDER = {
    "top_ohm": _number("resistor towards the signal", "ohm", 1, 10_000_000, needed=True),
    "bottom_ohm": _number("resistor towards ground", "ohm", 1, 10_000_000, needed=True),
}
TRACK = {
    "width_mm": Field("number", "track width", "mm", 0.05, 100, needed=True),
    "weight_oz": _WEIGHT,
    "layer": _LAYER,
    "length_mm": _number("track length from one end to the other", "mm", 0.5, 1000),
}
_COPPER = {"width_mm": _TRACK_WIDTH, "weight_oz": _WEIGHT, "layer": _LAYER}
_WIRE = {
    "awg": _integer("wire gauge", 0, 40, needed=True),
    "length_m": _number("wire length", "m", 0.01, 30, needed=True),
}


def _pulldown(ohm: float, to_v: float = 0.0, tolerance_pct: float = 1.0) -> PullResistor:
    return PullResistor(ohm, to_v, tolerance_pct)


BOARD: Mapping[str, Field] = {
    "name": _text("board's name", needed=True),
    "revision": _text("board's revision"),
    "chip": _text("chip's type"),
    "supply_v": _number("supply voltage", "V", 1, 400),
    "supply_max_a": _number("highest supply current", "A", 0.01, 200),
    "mains": _flag("mains voltage on the board"),
    "crystal": _flag("chip runs on a crystal at its oscillator pins"),
    "usb": _flag("chip's own USB pins lead to a USB socket"),
    "copper": _table("copper of the board", _COPPER, dict),
    "identifiers": Field("texts", "names of the board in the define style"),
}
NET: Mapping[str, Field] = {
    "chip_pin": _text("chip pin"),
    "driven_by": _text("net towards the chip"),
    "switch": _table("switch", _SWITCH, Switch),
    "pullup": _table("pull-up", _PULL, PullResistor),
    "pulldown": _table("pull-down", _PULLDOWN, _pulldown),
    "divider": _table("divider", _DIVIDER, VoltageDivider),
    "series_ohm": _number("series resistance", "ohm", 0, 1_000_000),
    "supply_v": _VOLTS,
    "max_a": _AMPS,
    "fuse_a": _number("fuse", "A", 0.01, 100),
    "amplifier": _text("sensor amplifier's type"),
    "reference_ohm": _number("amplifier's reference resistor", "ohm", 10, 100_000),
    "driver": _text("motor driver"),
    "track": _table("track", {}),
    "line": _choice(
        "what a wire to another board carries, as its name here says it", *get_args(Line)
    ),
    "joined_to": _text('ground of this board that it meets, "" for none'),
}
CONNECTOR: Mapping[str, Field] = {
    "pins": Field("texts", "net of each pin from pin 1 on", needed=True),
    "pitch_mm": _number("pitch", "mm", 0.3, 30),
    "rows": _integer("rows of pins", 1, 4),
    "numbering": _choice("pins 1 and 2 side by side, or one row after the other", "zigzag", "rows"),
    "keyed": _flag("plug fits one way only"),
    "shroud": _flag("wall around the pins, so that no plug goes on beside them"),
    "latch": _flag("hook or ramp that holds the plug, on one side only"),
    "plugged": Field("any", "positions with no pin where the plug's hole is filled: whole numbers"),
    "coding": _text("coding of the housing: only a plug of the same goes in"),
    "reference": _text("connector's reference in the layout, such as J1"),
    "contact_a": _number("rating of one contact", "A", 0.05, 200),
    "jumper_v": Field("numbers", "voltages that a jumper chooses from", "V", 1, 60),
}
DRIVER: Mapping[str, Field] = {
    "type": _text("chip that takes its current from the firmware, or any with a trimmer"),
    "number": _integer("number of the driver in scripts", 0, 99),
    "step_pin": _text("chip pin for steps"),
    "dir_pin": _text("chip pin for the direction"),
    "enable_pin": _text("chip pin that enables"),
    "enable_high": _flag("on while its enable pin is high, as few drivers are"),
    "uart_pin": _text("chip pin of the serial line that sets it up"),
    "uart_address": _integer("its address where several share that line", 0, 255),
    "cs_pin": _text("chip pin that selects it on a bus"),
    "max_a": _number("highest current", "A", 0.05, 30),
    "sense_ohm": _number("sense resistor", "ohm", 0.005, 1),
    "coils": Field("texts", "nets of its motor: both ends of one coil, then of the other"),
}


def pin_names() -> Mapping[str, Field]:
    """Return the tables of a board's own pin names, one for each style that is known by now."""
    return {style: _table(f"board's own pin names in the {style} style", {}) for style in STYLES}


BOARD_FILE: Mapping[str, Field] = {
    "board": _table("the board itself", BOARD),
    "nets": _table("nets", {}),
    "connectors": _table("connectors", {}),
    "drivers": _table("motor drivers", {}),
    "pin_names": _table("board's own pin names", pin_names()),
    "stock_pins": _table("pins that the board's own pins header sets", {}),
}

_MARK = {"unverified": _flag("mark of a draft, still to be checked on the machine")}
_FIT_WIRE = _table("wire", _WIRE, Wire)

ASSEMBLY: Mapping[str, Field] = {
    "name": _text("machine's name", needed=True),
    "ambient_c": _number("room temperature", "C", -20, 80),
    "parts": Field("texts", "files with parts of your own"),
    "supplied": Field(
        "texts", "keys of boards that a supply of their own feeds, beside the main one"
    ),
    "unknown": Field("texts", "roles that are fitted, nobody knows where or how"),
}
CABLE: Mapping[str, Field] = {
    "from": _text('connector as "board.connector"', needed=True),
    "to": _text('connector as "board.connector"', needed=True),
    "wiring": Field("any", '"straight", "mirrored" or a list of pin pairs like [[1, 2], [2, 1]]'),
    "wire": _FIT_WIRE,
    **_MARK,
}
_MAINS = {
    "earthed": _flag("its metal is earthed"),
    "cut_out": _flag("a thermal cut-out of its own breaks its current"),
    "live_switched": _flag("its live side is what is switched"),
}
FIT: Mapping[str, Field] = {
    "role": _text("role", needed=True),
    "at": _text('connector as "board.connector"'),
    "part": _text("part", needed=True),
    "pins": Field("any", "connector's pin for each terminal of the part: a list of whole numbers"),
    "wire": _FIT_WIRE,
    "mains": _table("what is so of a part on mains", _MAINS, MainsFacts),
    **_MARK,
}
LIMIT: Mapping[str, Field] = {
    "max_c": _number("highest temperature", "C", 30, 1000, needed=True),
    "because": _text("what sets the limit"),
    **_MARK,
}
ASSEMBLY_FILE: Mapping[str, Field] = {
    "assembly": _table("the machine itself", ASSEMBLY),
    "boards": _table("boards, key = file", {}),
    "chips": _table("names of chips, name = board key", {}),
    "cables": Field("any", "cables: [[cables]] tables"),
    "fit": _table("fitted parts", {}),
    "limits": _table("temperature limits", {}),
}

TERMINALS = ("supply", "ground", "signal", "control", "switched", "any", "coil", "tachometer", "")
"""What a part's terminal may want; an empty one is left open."""

_SIGNAL_V = _number("high level of its output", "V", 0.5, 60)
_NEEDS_PULL = _choice("pull that its output needs", "up", "down")
_OPEN = ("open-drain", "open-collector")
SIGNAL: Mapping[str, Field] = {
    "output": _choice("output", "npn", "pnp", "push-pull", *_OPEN, "switch"),
    "triggered": _choice("level when triggered", "high", "low"),
    "signal_v": _SIGNAL_V,
    "needs_pull": _NEEDS_PULL,
}
"""What the terminal gives through which a part itself is read."""
TACHOMETER: Mapping[str, Field] = {
    "output": _choice("output", *_OPEN, "push-pull", needed=True),
    "signal_v": _SIGNAL_V,
    "needs_pull": _NEEDS_PULL,
    "pulses": _number("pulses of one turn", "", 0.5, 100),
}

PART: Mapping[str, Field] = {
    "kind": _choice("kind of part", *get_args(PartKind), needed=True),
    "terminals": Field("texts", "what each terminal wants, in the order of the plug"),
    "title": _text("part in words"),
    "rated_v": _number("rated voltage", "V", 1, 400),
    "supply_min_v": _number("lowest supply voltage", "V", 0.5, 400),
    "supply_max_v": _number("highest supply voltage", "V", 0.5, 400),
    "power_w": _number("power", "W", 0.1, 5000),
    "resistance_ohm": _number("resistance (of a thermistor at 25 C)", "ohm", 0.05, 1_000_000),
    "tolerance_pct": _number("tolerance", "%", 0.001, 50),
    "current_a": _number("current", "A", 0.001, 50),
    "inrush_ratio": _number("current at start over running current", "", 1, 20),
    "pwm_min_hz": _number("lowest PWM frequency", "Hz", 1, 1_000_000),
    "pwm_max_hz": _number("highest PWM frequency", "Hz", 1, 1_000_000),
    "min_duty": _number("lowest duty that it runs at", "", 0, 1),
    "speed_rpm": _number("speed at full power", "1/min", 10, 200_000),
    "tachometer": _table("what a fan's tachometer terminal gives", TACHOMETER, Signal),
    "sensor": _text("sensor curve"),
    "curve": Field("any", "the sensor's own curve from its data sheet: [[C, ohm], ...]"),
    "beta_tolerance_pct": _number("tolerance of beta", "%", 0.01, 20),
    "max_c": _number("highest temperature", "C", 30, 1500),
    "max_c_at_best": _number("what the best of its kind stand, where they differ", "C", 30, 1500),
    "max_c_because": _text("what sets the limit"),
    "heat_capacity_j_k": _number("heat capacity", "J/K", 0.1, 20_000),
    "loss_w_k": _number("heat loss to the room", "W/K", 0.001, 100),
    "fan_loss_w_k": _number("further heat loss with the part fan on", "W/K", 0, 100),
    "lag_s": _number("delay of the reading", "s", 0, 300),
    "probe_kind": _choice("kind of probe", "servo-deployed", "fixed"),
    **SIGNAL,
    "steps_per_turn": _integer("full steps for one turn", 2, 10_000),
    "phase_ohm": _number("resistance of one phase", "ohm", 0.05, 500),
    "mains": _flag("runs on mains voltage"),
    "source": _text("where the figures come from"),
}

TABLES: Mapping[str, Mapping[str, Field]] = {
    "board file: [board]": BOARD,
    "board file: [nets.NAME]": {**NET, "track": _table("track", TRACK)},
    "board file: [connectors.NAME]": CONNECTOR,
    "board file: [drivers.NAME]": DRIVER,
    "board file: [pin_names.STYLE], the board's own name = chip pin": {},
    "board file: [stock_pins], key of the define style, or numbered command = pin": {},
    "assembly file: [assembly]": ASSEMBLY,
    "assembly file: [boards], key = file": {},
    "assembly file: [chips], name in the configuration = board key": {},
    "assembly file: [[cables]]": CABLE,
    "assembly file: [fit.NAME]": FIT,
    "assembly file: [limits.GROUP]": LIMIT,
    "parts file: [ID]": PART,
}
"""Every table of a wiring file with its keys, for whoever wants to see them all."""
