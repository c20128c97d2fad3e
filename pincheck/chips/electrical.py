"""Electrical facts of chips from `data/electrical.toml`."""

import re
from collections.abc import Iterable, Mapping
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from typing import Any

from attrs import evolve

from pincheck import resources
from pincheck.chips.model import UNKNOWN, Basis, BootLevel, ChipPin, Levels, Timer, Tolerance
from pincheck.chips.notation import expand
from pincheck.model.frozen import frozen

_FILE = Path(__file__).parent / "data" / "electrical.toml"


@frozen
class FiveVolt:
    """Tolerance of a chip's pins: a default, exceptions, and whether analog use takes it away."""

    default: Tolerance = "unknown"
    exceptions: Mapping[str, Tolerance] = {}
    analog_takes_it: bool = False
    basis: Basis = UNKNOWN
    note: str = ""

    def of(self, pin: ChipPin) -> Tolerance:
        """Return the tolerance of one pin."""
        tolerance = self.exceptions.get(pin.name, self.default)
        lost = tolerance == "yes" and self.analog_takes_it and pin.adc
        return "unless-analog" if lost else tolerance


@frozen
class ResetPullUp:
    """Pins that a chip pulls up from reset on until its firmware decides; all where none is named.

    Pins that only pull low have no pull-up.
    """

    ohm: float | None = None
    pins: frozenset[str] = frozenset()
    basis: Basis = UNKNOWN

    def of(self, pin: ChipPin) -> float | None:
        """Return the least resistance of a pin's pull-up, None where it has none."""
        has = not self.pins or pin.name in self.pins
        return self.ohm if has and "open-drain" not in pin.special else None


@frozen
class Electrical:
    """What the data file says of one chip; None or empty where it says nothing."""

    logic_v: float | None = None
    converter_bits: int | None = None
    levels: Levels | None = None
    five_volt: FiveVolt = FiveVolt()
    special: Mapping[str, str] = {}
    """Further special word by pin."""
    boot_levels: Mapping[str, BootLevel] = {}
    reset_pullup: ResetPullUp = ResetPullUp()
    timer_bits: Mapping[str, int] = {}
    clock_max_mhz: Mapping[str, float] = {}
    """By timer; the empty name stands for all others."""

    def finish(self, pin: ChipPin) -> ChipPin:
        """Return the pin with its tolerance and the special word that this file adds."""
        extra = self.special.get(pin.name)
        special = pin.special if extra in (None, *pin.special) else (*pin.special, str(extra))
        return evolve(
            pin,
            special=special,
            five_volt=self.five_volt.of(pin),
            reset_pullup_ohm=self.reset_pullup.of(pin),
        )

    def timer(self, name: str) -> Timer:
        """Return what is known of a timer."""
        mhz = self.clock_max_mhz.get(name, self.clock_max_mhz.get(""))
        bits = self.timer_bits.get(name, self.timer_bits.get(""))
        return Timer(name, bits, None if mhz is None else mhz * 1e6)


@cache
def _entries() -> tuple[dict[str, Any], ...]:
    return tuple(resources.table(_FILE)["entry"])


def covers(patterns: Iterable[str], key: str) -> bool:
    """Return whether a filed chip name fits one of the patterns of an entry."""
    # Comparing plain beginnings first spares building an expression for every line of chips.
    return any(
        key.startswith(re.split(r"[*?\[]", pattern, maxsplit=1)[0]) and fnmatchcase(key, pattern)
        for pattern in patterns
    )


def electrical_of(key: str) -> Electrical:
    """Return the facts for a filed chip name or the common beginning of several."""
    merged: dict[str, Any] = {}
    for entry in _entries():
        if covers(entry["chips"], key):
            merged |= entry
    levels = merged.get("levels")
    return Electrical(
        logic_v=merged.get("logic_v"),
        converter_bits=merged.get("converter_bits"),
        levels=Levels(levels["low"], levels["high"], _basis(levels)) if levels else None,
        five_volt=_five_volt(merged["five_volt"]) if "five_volt" in merged else FiveVolt(),
        special={
            pin: word for word, pins in merged.get("special", {}).items() for pin in expand(pins)
        },
        boot_levels={pin: _boot_level(row) for pin, row in merged.get("boot_levels", {}).items()},
        reset_pullup=_reset_pullup(merged["reset_pullup"])
        if "reset_pullup" in merged
        else ResetPullUp(),
        timer_bits=_with_default(merged, "timer_bits"),
        clock_max_mhz=_with_default(merged, "clock_max_mhz"),
    )


def _with_default(merged: Mapping[str, Any], key: str) -> dict[str, Any]:
    table: dict[str, Any] = merged.get(f"{key}_of", {})
    return {"": merged[key], **table} if key in merged else table


def _five_volt(table: Mapping[str, Any]) -> FiveVolt:
    states: tuple[Tolerance, ...] = ("yes", "no", "unknown")
    exceptions: dict[str, Tolerance] = {
        pin: state for state in states for pin in expand(table.get(state, ""))
    }
    return FiveVolt(
        default=table["default"],
        exceptions=exceptions,
        analog_takes_it=table.get("analog_takes_it", False),
        basis=_basis(table),
        note=table.get("note", ""),
    )


def _reset_pullup(table: Mapping[str, Any]) -> ResetPullUp:
    return ResetPullUp(table["ohm"], frozenset(expand(table.get("pins", ""))), _basis(table))


def _boot_level(row: Mapping[str, Any]) -> BootLevel:
    return BootLevel(
        row["level"],
        row["otherwise"],
        _basis(row),
        row.get("pull_ohm"),
        row.get("optional", False),
    )


def _basis(table: Mapping[str, Any]) -> Basis:
    return Basis(table["source"], table["confidence"])
