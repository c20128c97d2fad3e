"""The level of a pin while the chip starts and drives nothing yet."""

import math
from collections.abc import Iterator

from attrs import frozen

from pincheck.chips import BootLevel
from pincheck.model.finding import Input, Number
from pincheck.model.path import Wired


@frozen
class Level:
    """A level at reset: `when` says in words under what condition the line has it, if any."""

    number: Number
    when: str = ""


def levels(parts: tuple[Wired, ...], boot: BootLevel, logic_v: float, chip: str) -> list[Level]:
    """Return the levels that parts and resistors give a boot pin, none where nothing holds it.

    A divider is left out: what it gives hangs on the part before it.
    """
    if any(wired.path.divider for wired in parts):
        return []
    pulls = [
        (pull.ohm, pull.to_v, f"wiring of {parts[0].role}")
        for pull in (*parts[0].path.pullups, *parts[0].path.pulldowns)
    ]
    own = (boot.pull_ohm, logic_v if boot.level == "high" else 0.0, chip)
    held = [_driven(wired, volt, when) for wired in parts for volt, when in _of_part(wired)]
    if not pulls:
        return held
    return [Level(_divided([*pulls, *([own] if own[0] else [])])), *held]


def _of_part(wired: Wired) -> Iterator[tuple[float, str]]:
    """Yield what the part itself drives its line to, at rest and when it is triggered."""
    part = wired.part
    if part.output in ("", "pnp") or not part.triggered:
        return
    closed_at_rest = part.triggered == "high"
    if part.output != "push-pull":
        yield 0.0, "" if closed_at_rest else "triggered"
    elif part.signal_v is not None:
        yield 0.0 if closed_at_rest else part.signal_v, ""


def _driven(wired: Wired, volt: float, when: str) -> Level:
    given = Input("output", wired.part.output, "", f"part {wired.part.id}")
    return Level(Number("voltage at reset", volt, "V", "driven by the part", (given,)), when)


def _divided(pulls: list[tuple[float | None, float, str]]) -> Number:
    known = [(ohm, volt, origin) for ohm, volt, origin in pulls if ohm]
    volt = math.fsum(v / ohm for ohm, v, _ in known) / math.fsum(1 / ohm for ohm, _, _ in known)
    inputs = tuple(Input(f"resistor to {v:g} V", ohm, "ohm", origin) for ohm, v, origin in known)
    formula = "sum of U / R over sum of 1 / R"
    return Number("voltage at reset", volt, "V", formula, inputs, "Millman's theorem")
