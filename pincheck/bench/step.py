"""One step of the walk: where to put the probes, what to expect and why."""

from typing import Literal

from attrs import frozen

from pincheck.model.finding import Number

Unit = Literal["", "ohm", "V", "C", "s"]


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

    `unit` is empty for a step that is only looked at and ticked. A reading agrees from `low` to
    `high`, None where that side is open. `numbers` derive the band; `too_low` and `too_high`
    say what such a reading means. `id` stays the same from one check to the next.
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
