"""What a chip's pins can do, as frozen classes."""

from collections.abc import Mapping
from typing import Literal

from attrs import field

from pincheck.model.frozen import frozen

Confidence = Literal["data sheet", "device data", "from memory", "alias"]
"""How a fact is known: read in a data sheet, from the device-data package, recalled from a
data sheet without reading it again, or taken over from another maker's chip."""

Tolerance = Literal["yes", "unless-analog", "no", "unknown"]
"""Whether a pin stands 5 V; `unless-analog` holds only while its converter is not connected."""

Knowledge = Literal["pins", "converters", "timers"]
Naming = Literal["port-letter", "port-number", "gpio"]
"""`PA1`, `P1.23` or `gpio12`."""


@frozen
class Basis:
    """Where a fact is from, and how sure that is."""

    source: str
    confidence: Confidence


UNKNOWN = Basis("no source", "from memory")


@frozen
class ConverterChannel:
    """One input of an analog-to-digital converter: `ADC1` channel 5."""

    converter: str
    channel: int

    def __str__(self) -> str:
        return f"{self.converter} channel {self.channel}"


@frozen
class TimerChannel:
    """One PWM output of a hardware timer.

    `timer` names the counter that sets the frequency: two channels of one timer run at one
    frequency, and two pins with the same timer and channel carry the same signal. On chips
    whose PWM block has a counter for each channel that is `PWM0/2`, on RP2040 the slice `PWM3`.
    """

    timer: str
    channel: str
    complementary: bool = False

    def __str__(self) -> str:
        return f"{self.timer} channel {self.channel}{' complementary' * self.complementary}"


@frozen
class Timer:
    """A counter: its width in bits, and the highest clock that the data sheet allows it in Hz.

    The clock really set is the firmware's choice; None where it is not known.
    """

    name: str
    bits: int | None = None
    clock_max_hz: float | None = None


@frozen
class ChipPin:
    """One pin, named in its chip's canonical spelling.

    `special` holds words of `SPECIAL_WORDS`.
    """

    name: str
    converters: tuple[ConverterChannel, ...] = ()
    timers: tuple[TimerChannel, ...] = ()
    special: tuple[str, ...] = ()
    five_volt: Tolerance = "unknown"
    reset_pullup_ohm: float | None = None
    """The least that the pull-up may be which the chip switches on at reset; None where none is."""

    @property
    def adc(self) -> bool:
        """Whether a converter can read the pin."""
        return bool(self.converters)


SPECIAL_WORDS: Mapping[str, str] = {
    "debug": "debug port: the debugger is cut off while the pin does something else",
    "boot": "read at reset to choose what starts, or how",
    "reset": "reset input: usable as a pin only after its fuse or option is changed",
    "oscillator": "main crystal: free only where the chip runs without one",
    "clock-crystal": "32 kHz crystal: free unless one is fitted, which few printer boards do",
    "usb": "USB data or control line",
    "erase": "held high at reset it erases the program",
    "flash": "wired to the program memory: not free",
    "input-only": "cannot drive anything and has no pull resistors",
    "open-drain": "pulls low only, has no pull-up of its own",
    "serial": "serial port of the boot loader",
    "radio": "its converter is the radio's while that runs",
}


@frozen
class Levels:
    """Input thresholds as fractions of the chip's logic supply.

    At or above `high` the input certainly reads high, at or below `low` certainly low.
    """

    low: float
    high: float
    basis: Basis


@frozen
class BootLevel:
    """The level that a pin must have at reset for the firmware to start.

    `pull_ohm` is the chip's own resistor towards that level, None where it has none. `otherwise`
    says in words what the chip does at the other level. `optional` says that a setting of the
    chip, or firmware that is quick enough, can make the level not matter.
    """

    level: Literal["low", "high"]
    otherwise: str
    basis: Basis
    pull_ohm: float | None = None
    optional: bool = False


@frozen
class Chip:
    """One chip, or all packages of one when its name does not say which.

    With `exact` False, `pins` is the union over the packages that fit the name: a pin that is
    not in it exists on none of them, one that is in it may still be missing on the user's chip.
    What `knows` does not list is unknown, not absent.
    """

    name: str
    family: str
    naming: Naming
    basis: Basis
    exact: bool = True
    knows: frozenset[Knowledge] = frozenset(("pins", "converters", "timers"))
    stands_for: str = ""
    """Name of the chip whose data is used, where this one is only declared pin-compatible."""
    pwm_on_any_pin: bool = False
    logic_v: float | None = None
    converter_bits: int | None = None
    levels: Levels | None = None
    five_volt_basis: Basis = UNKNOWN
    five_volt_note: str = ""
    reset_pullup_basis: Basis = UNKNOWN
    boot_levels: Mapping[str, BootLevel] = field(factory=dict)
    """By pin; a pin marked `boot` without one matters only to someone who loads new firmware."""
    timers: Mapping[str, Timer] = field(factory=dict)
    pins: Mapping[str, ChipPin] = field(factory=dict)
    digital_numbers: tuple[str, ...] = field(default=())
    """Pins by the usual plain numbering of this chip, from 0; empty where there is none."""
    analog_numbers: tuple[str, ...] = field(default=())
