"""What a rule is, what it sees, and the few questions that every rule asks."""

import math
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Any

from attrs import field

from pincheck.chips import Chip, ChipPin
from pincheck.chips import chip as chip_named
from pincheck.circuit import Circuit, circuit
from pincheck.model.attribute import ATTRIBUTES, ValueKind
from pincheck.model.claim import Claim, Claims, PinValue, Place, SensorValue
from pincheck.model.finding import Fact, Input, Unchecked
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace, Wired
from pincheck.model.role import is_role, split
from pincheck.model.source import Span
from pincheck.model.wiring import Assembly

_TYPES: dict[ValueKind, type | tuple[type, ...]] = {
    "pin": PinValue,
    "sensor": SensorValue,
    "number": (int, float),
    "flag": bool,
    "word": str,
    "role": str,
}

_PLAUSIBLE: dict[str, tuple[float, float]] = {
    "": (0.0, 1.0),
    "ohm": (0.001, 1e7),
    "C": (-300.0, 1500.0),
    "K": (0.0, 200.0),
    "s": (0.0, 36_000.0),
    "K s": (0.0, 1e6),
    "Hz": (0.001, 1e9),
    "V": (0.1, 450.0),
    "A": (0.0, 500.0),
    "W": (0.0, 5000.0),
    "J/K": (0.1, 50_000.0),
    "W/K": (0.001, 200.0),
    "K/s": (1e-4, 1000.0),
    "pulses": (0.1, 1000.0),
    "poll_s": (1e-6, 36_000.0),
    "model_gain_k": (1.0, 5000.0),
    "model_cooling_exponent": (0.5, 3.0),
    "pullup_ohm": (1.0, 1e7),
    "series_ohm": (0.0, 1e6),
    "reference_ohm": (10.0, 1e5),
    "sense_ohm": (0.001, 10.0),
    "servo_number": (0.0, 100.0),
    "servo_count": (0.0, 4.0),
    "hotend_count": (0.0, 8.0),
    "driver_address": (0.0, 255.0),
}
"""What physics computes with, by unit or attribute; what is wilder has a finding of its own."""

_ACTS_AS_ITS_END = frozenset(("", "C", "K", "s", "K s"))
"""Units of limits, times and shares: a wilder number acts as the end that it passes. A wilder
resistance, frequency or figure of a model is no figure of any part, and nothing follows from it."""


_SHORTED = "a supply is where none belongs on its way: mend the wiring first"
_OF_THE_COPPER = ("pin", "polarity", "sensor")


@frozen(slots=False)
class Case:
    """One machine as a rule sees it: no file, no environment, no clock.

    `chip` looks up a chip by its name; None is unknown.
    """

    claims: Claims
    trace: Trace
    assembly: Assembly
    chip: Callable[[str], Chip | None] = field(default=chip_named)
    kept: dict[str, Any] = field(factory=dict, init=False, eq=False)
    """What several rules work out of one case, by name."""

    @property
    def circuit(self) -> Circuit:
        """The wiring as a circuit, solved state by state as it is asked."""
        return circuit(self.assembly)

    @cached_property
    def roles(self) -> tuple[str, ...]:
        """Every role that is claimed or fitted, in no particular order but always the same."""
        return tuple(sorted(self.claims.roles() | self.trace.roles()))

    def fitted(self, *functions: str) -> Iterator[Wired]:
        """Yield what is fitted for these functions: `fan`, `heater` ..."""
        return (wired for wired in self.trace.wired if split(wired.role)[2] in functions)

    def known(self, role: str, attribute: str) -> Claim | Unchecked | None:
        """Return the claim if certain, why it is not, or None if certainly nothing is claimed.

        A claim beside which a possible one says something else is not certain.
        """
        claim = self.claims.find(role, attribute)
        reason = self._doubt(claim, role, attribute)
        if reason:
            return Unchecked(role, attribute, reason)
        return claim

    def behind_short(self, wired: Wired, attribute: str) -> Unchecked | None:
        """Return that a part's rating says nothing while its plug is mated wrong, else None."""
        return Unchecked(wired.role, attribute, _SHORTED) if wired.role in self.shorted else None

    @cached_property
    def shorted(self) -> frozenset[str]:
        """Roles on a net that joins two supplies, as a plug mated the wrong way round does.

        With them go all roles behind a cable that does so, or brings a supply onto a signal: its
        other wires are as wrong as the one that shows it.
        """
        joined = [fault for fault in self.trace.faults if fault.kind == "supplies-joined"]
        astray = (fault for fault in self.trace.faults if fault.kind == "supply-on-signal")
        cables = {cable.at for cable in self.assembly.cables if cable.at}
        wrong = cables & {fault.at for fault in (*joined, *astray)}
        behind = (w.role for w in self.trace.wired if not wrong.isdisjoint(_cables(w)))
        return frozenset((*(role for fault in joined for role in fault.roles), *behind))

    def _doubt(self, claim: Claim | None, role: str, attribute: str) -> str:
        if role in self.shorted and ATTRIBUTES[attribute].column in _OF_THE_COPPER:
            return _SHORTED
        if claim is None:
            return self.claims.doubt(role, attribute)
        if reason := claim.doubt or _value_doubt(claim):
            return reason
        rivals = (c for c in self.claims.of(role) if c.attribute == attribute and not c.active)
        return next((rival.doubt for rival in rivals if rival.value != claim.value), "")

    def chip_on(self, board: str) -> Chip | None:
        """Return the chip of a board, None where it has none or nobody knows it."""
        name = self.assembly.boards[board].chip if board in self.assembly.boards else ""
        return self.chip(name) if name else None

    def chip_pin(self, place: Place) -> ChipPin | None:
        """Return what is known of a pin, None for an unknown chip or a pin that it lacks."""
        chip = self.chip_on(place.board)
        return chip.pins.get(place.pin) if chip else None

    def used_elsewhere(self, wired: Wired, place: Place) -> Unchecked | None:
        """Return why a pin without a claim may be in use all the same, None where it is not."""
        for line in self.claims.elsewhere:
            if isinstance(line.value, PinValue) and self.same(line.value.place, place):
                reason = (
                    f"{origin(line)} uses {self.at(place)} for something that is not understood"
                )
                return Unchecked(wired.role, "pin", reason)
        return None

    def same(self, one: Place | None, other: Place) -> bool:
        """Return whether two places are one pin; no board means the main one."""
        main = self.assembly.main
        if one is None or one.pin != other.pin:
            return False
        return (one.board or main) == (other.board or main)

    def at(self, place: Place) -> str:
        """Return a place in words: the board only where it is not the main one."""
        return place.pin if place.board in ("", self.assembly.main) else str(place)


def _cables(wired: Wired) -> Iterator[Span | None]:
    for path in (wired.path, wired.supply):
        yield from (hop.at for hop in path.hops if hop.kind == "cable") if path else ()


def _value_doubt(claim: Claim) -> str:
    attribute = ATTRIBUTES[claim.attribute]
    kind = attribute.kind
    if not isinstance(claim.value, _TYPES[kind]) or (
        kind == "number" and isinstance(claim.value, bool)
    ):
        return f"{claim.value!r} is no {kind}"
    if kind == "number":
        low, high = plausible(claim)
        if math.isnan(stated(claim)):
            return f"{claim.value!r} is no {kind}"
        if not low <= stated(claim) <= high and not _acts_as_its_end(claim):
            return f"{stated(claim):g} {attribute.unit}".strip() + f" is not {low:g} to {high:g}"
    if kind == "role" and claim.value != "none" and not is_role(str(claim.value)):
        return f"{claim.value} is no function of a machine"
    if isinstance(claim.value, PinValue | SensorValue):
        return claim.value.unknown
    return ""


def stated(claim: Claim) -> float:
    """Return the number of a certain claim as it is written."""
    assert isinstance(claim.value, int | float)
    return float(claim.value)


def value(claim: Claim) -> float:
    """Return the number of a certain claim to compute with, never wilder than physics holds."""
    low, high = plausible(claim)
    return min(max(stated(claim), low), high)


def plausible(claim: Claim) -> tuple[float, float]:
    """Return the lowest and highest number of this kind that physics computes with."""
    attribute = ATTRIBUTES[claim.attribute]
    return _PLAUSIBLE.get(attribute.name) or _PLAUSIBLE[attribute.unit]


def _acts_as_its_end(claim: Claim) -> bool:
    attribute = ATTRIBUTES[claim.attribute]
    return attribute.unit in _ACTS_AS_ITS_END and not attribute.name.startswith("model_")


def origin(claim: Claim) -> str:
    """Return where a claim came from: file and line, or whose default it is."""
    if claim.setting is None:
        return claim.origin or "default of the firmware"
    return f"{claim.setting.source.name}:{claim.setting.span.line}"


def claimed(claim: Claim) -> Input:
    """Return a claim as an input of a computed number, a share in percent."""
    attribute = ATTRIBUTES[claim.attribute]
    if attribute.unit or attribute.name in _PLAUSIBLE:
        return Input(attribute.words, value(claim), attribute.unit, origin(claim))
    words = attribute.words.removesuffix(" (0 to 1)")
    return Input(words, 100 * value(claim), "%", origin(claim))


def fact(wired: Wired, attribute: str, words: str) -> Fact:
    """Return what the copper or the fitted part makes true of a role."""
    return Fact(wired.role, attribute, words, wired.path, wired.fit.at)


def part_of(wired: Wired) -> str:
    """Return a fitted part as the origin of a figure."""
    return f"part {wired.part.id}"
