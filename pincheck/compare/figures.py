"""What the copper to one part comes to, figure by figure, in words."""

from collections.abc import Callable, Iterable, Iterator

from pincheck.analysis.currents import track_current_a
from pincheck.compare.difference import Difference, differing
from pincheck.model.path import Wired
from pincheck.model.wiring import PullResistor, Track, VoltageDivider
from pincheck.physics.conductor import contacts_current_a
from pincheck.physics.divider import parallel_ohm


def amps(value: float | None) -> str:
    """Return a rating in words, empty without one."""
    return f"{value:g} A" if value else ""


def ohms(value: float | None) -> str:
    """Return a resistance in words, empty without one."""
    return f"{value:g} ohm" if value else ""


def divided(divider: VoltageDivider | None) -> str:
    """Return both resistors of a divider in words, empty without one."""
    return f"{divider.top_ohm:g} over {divider.bottom_ohm:g} ohm" if divider else ""


def least_track(tracks: Iterable[Track]) -> str:
    """Return what the weakest of some tracks carries in words, empty without any."""
    return _least(map(track_current_a, tracks))


def _least(allowed_a: Iterable[float]) -> str:
    return f"{least:.1f} A" if (least := min(allowed_a, default=0.0)) else ""


def _pulls(pulls: tuple[PullResistor, ...]) -> str:
    if not pulls:
        return ""
    volts = ", ".join(f"{volt:g} V" for volt in sorted({pull.to_v for pull in pulls}))
    return f"{ohms(parallel_ohm(*(pull.ohm for pull in pulls)))} to {volts}"


def _switch(wired: Wired) -> str:
    switch = wired.path.switch
    if switch is None:
        return ""
    words = (f"{switch.side} side", amps(switch.max_a), "inverting" if switch.inverting else "")
    return ", ".join(filter(None, words))


def _driver(wired: Wired) -> str:
    driver = wired.path.driver
    return f"{driver.name}, {amps(driver.max_a)}" if driver and driver.max_a else ""


def _amplifier(wired: Wired) -> str:
    path = wired.path
    reference = f", {ohms(path.reference_ohm)}" if path.reference_ohm else ""
    return f"{path.amplifier}{reference}" if path.amplifier or reference else ""


def _crossed(wired: Wired) -> str:
    contacts = [contact for contact in wired.path.contacts[:-1] if contact.contact_a]
    return _least(contacts_current_a(it.contact_a or 0.0, len(it.pins)) for it in contacts)


def _wires(wired: Wired) -> str:
    pairs = zip(wired.path.wires, wired.path.in_parallel, strict=True)
    return ", ".join(f"{count} x {wire.awg} AWG {wire.length_m:g} m" for wire, count in pairs)


FIGURES: dict[str, Callable[[Wired], str]] = {
    "part": lambda wired: wired.part.title or wired.part.id,
    "supply": lambda wired: "" if wired.supply_v is None else f"{wired.supply_v:g} V",
    "supply rating": lambda wired: amps(wired.supply_max_a),
    "switch": _switch,
    "other parts on the switch": lambda wired: ", ".join(wired.switch_mates),
    "driver": _driver,
    "sense resistor": lambda wired: ohms(
        wired.path.driver.sense_ohm if wired.path.driver else None
    ),
    "pull-up": lambda wired: _pulls(wired.path.pullups),
    "pull-down": lambda wired: _pulls(wired.path.pulldowns),
    "series resistor": lambda wired: ohms(wired.path.series_ohm),
    "divider": lambda wired: divided(wired.path.divider),
    "amplifier": _amplifier,
    "socket contact": lambda wired: amps(
        wired.path.contacts[-1].contact_a if wired.path.contacts else None
    ),
    "contacts on the way": _crossed,
    "narrowest track": lambda wired: least_track(
        track for way in (wired.path, wired.supply) if way for _, track in way.tracks
    ),
    "wires": _wires,
    "fuse": lambda wired: amps(wired.path.fuse_a),
}
"""Every figure that is compared, in the order of the report."""


def figure_differences(before: Wired, after: Wired) -> Iterator[Difference]:
    """Yield the figures that differ between two revisions of one role's copper."""
    yield from differing((name, of(before), of(after)) for name, of in FIGURES.items())
