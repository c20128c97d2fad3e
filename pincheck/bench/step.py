"""One step of the walk: where to put the probes, what to expect, what a reading means."""

import math
import re
from typing import Literal

from pincheck.model.finding import Number
from pincheck.model.frozen import frozen

Unit = Literal["", "ohm", "V", "C", "s"]

Asks = Literal["", "shown", "minute", "hand", "switch", "sent", "warms"]
"""How a machine on the line answers a step itself: see `by_port`; empty where only a person can."""


@frozen
class TestPoint:
    """A pin to touch: board's title, connector, pins of equal worth, net."""

    board: str
    connector: str
    pins: tuple[int, ...]
    net: str

    def __str__(self) -> str:
        pins = " or ".join(map(str, self.pins))
        return f"{self.connector} pin {pins} of {self.board} ({self.net})"


@frozen
class WalkStep:
    """One measurement or look.

    `unit` is empty for a step that is only looked at, and answered with yes or no. A reading
    agrees from `low` to `high`, None where that side is open. `numbers` derive the band; `too_low`
    and `too_high` say what such a reading means, `too_low` also what a no means. `commands` are
    typed at the machine's console, `undo` ends what they began; `until_c` is what a heater is
    timed to. `id` stays the same from one check to the next.
    """

    id: str
    power: Literal["off", "on"]
    role: str
    title: str
    do: str
    points: tuple[TestPoint, ...] = ()
    unit: Unit = ""
    low: float | None = None
    high: float | None = None
    numbers: tuple[Number, ...] = ()
    too_low: str = ""
    too_high: str = ""
    note: str = ""
    commands: tuple[str, ...] = ()
    undo: tuple[str, ...] = ()
    asks: Asks = ""
    until_c: float | None = None

    @property
    def expected(self) -> str:
        """The band in words; empty for a step that is only looked at."""
        if not self.unit:
            return ""
        if self.low is None:
            return f"at most {figure(self.high or 0.0, self.unit)}"
        if self.high is None:
            return f"at least {figure(self.low, self.unit)}"
        low, high = figure(self.low, self.unit), figure(self.high, self.unit)
        value, _, unit = low.partition(" ")
        return f"{value if high.endswith(f' {unit}') else low} to {high}"


def figure(value: float, unit: str) -> str:
    """Return a reading as a meter shows it: three to four digits and a prefix."""
    if value == float("inf"):
        return "open"
    if unit == "ohm":
        for least, prefix in ((1e6, "M"), (1e3, "k")):
            if abs(value) >= least * 0.9995:
                return f"{value / least:.4g} {prefix}ohm"
        return f"{value:.1f} ohm" if abs(value) >= 1 else f"{value:.2f} ohm"
    return f"{value:.2f} V" if unit == "V" else f"{value:.0f} {unit}"


_NUMBER = re.compile(
    r"(?P<whole>[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(?P<prefix>[kKMmR]?)(?P<rest>\d*)\s*"
    r"(?P<unit>ohms?|Ω|volts?|v|°?c|s|sec|seconds)?",
    re.IGNORECASE,
)
_OPEN = frozenset(("open", "ol", "o.l", "0l", "inf", "infinite", "oo", "∞"))
_SCALE = {"": 1.0, "R": 1.0, "r": 1.0, "k": 1e3, "K": 1e3, "M": 1e6, "m": 1e-3}
_UNITS = {"o": "ohm", "Ω": "ohm", "v": "V", "c": "C", "°": "C", "s": "s"}
LONGEST = 30


class ReadingError(ValueError):
    """What was typed is no reading; the message says what would be."""


@frozen
class Judgement:
    """A reading and what it means; None for what was only looked at."""

    reading: float | None
    state: Literal["agrees", "contradicts"]
    said: str


def parse(typed: str, unit: str) -> float:
    """Return a typed reading in `unit`: `14.6`, `14,6 ohm`, `98k`, `4k7`, `1.2 M`, `open`.

    Raises:
        ReadingError: it is none.
    """
    plain = typed.strip()
    if unit == "ohm" and plain.casefold() in _OPEN:
        return math.inf
    found = _NUMBER.fullmatch(plain) if len(plain) <= LONGEST else None
    if found is None:
        hint = ", 98k, 4k7 or open" if unit == "ohm" else ""
        raise ReadingError(f"a reading is wanted in {unit}, such as 14.6{hint}")
    whole, prefix, rest = found["whole"], found["prefix"], found["rest"]
    if rest and (not prefix or "." in whole or "," in whole):
        raise ReadingError(f"{plain} is no reading in {unit}")
    said = _UNITS.get((found["unit"] or "").lower()[:1], unit)
    if said != unit:
        raise ReadingError(f"the reading is wanted in {unit}")
    if prefix in ("k", "K", "M", "R", "r") and unit != "ohm":
        raise ReadingError(f"the reading is wanted in {unit}, without {prefix}")
    return float(f"{whole}.{rest}" if rest else whole.replace(",", ".")) * _SCALE[prefix]


_YES, _NO = ("yes", "y"), ("no", "n")
_UNLIKE = "switch off and find out why before anything else"


def judge(step: WalkStep, typed: str) -> Judgement:
    """Return what was typed at a step and what it means; a no at any step says that it is wrong.

    Raises:
        ReadingError: it is no reading in the step's unit, or neither yes nor no where it has none.
    """
    word = typed.strip().casefold()
    if word in _NO:
        means = (not step.unit and step.too_low) or _UNLIKE
        said = f"it is not as it should be: {means}"
        return Judgement(None, "contradicts", said)
    if not step.unit:
        if word not in _YES:
            raise ReadingError("yes or no is wanted: is it as the step says?")
        return Judgement(None, "agrees", "it is as it should be")
    reading = parse(typed, step.unit)
    shown = figure(reading, step.unit)
    if step.low is not None and reading < step.low:
        return Judgement(reading, "contradicts", _off(shown, "below", step, step.too_low))
    if step.high is not None and reading > step.high:
        return Judgement(reading, "contradicts", _off(shown, "above", step, step.too_high))
    return Judgement(reading, "agrees", f"{shown} agrees with {step.expected}")


def _off(shown: str, side: str, step: WalkStep, means: str) -> str:
    return f"{shown} is {side} what is expected, {step.expected}: {means}"
