"""A typed reading against the band of its step."""

import math
import re
from typing import Literal

from attrs import frozen

from pincheck.bench.step import WalkStep, figure

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
    """A reading and what it means."""

    reading: float
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


def judge(step: WalkStep, reading: float) -> Judgement:
    """Return whether a reading lies in the band of its step, and what it means where not."""
    shown = figure(reading, step.unit)
    if step.low is not None and reading < step.low:
        return Judgement(reading, "contradicts", _off(shown, "below", step, step.too_low))
    if step.high is not None and reading > step.high:
        return Judgement(reading, "contradicts", _off(shown, "above", step, step.too_high))
    return Judgement(reading, "agrees", f"{shown} agrees with {step.expected}")


def _off(shown: str, side: str, step: WalkStep, means: str) -> str:
    return f"{shown} is {side} what is expected, {step.expected}: {means}"
