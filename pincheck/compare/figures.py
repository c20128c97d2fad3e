"""What the copper to one part comes to, figure by figure, in words."""

from collections.abc import Callable, Iterator

from pincheck.analysis.current_ratings import TRACK_RISE_K
from pincheck.compare.difference import Difference, differing
from pincheck.model.path import Wired
from pincheck.model.wiring import PullResistor
from pincheck.physics import conductor
from pincheck.physics.divider import parallel_ohm

Figure = Callable[[Wired], str]


def _pulls(pulls: tuple[PullResistor, ...]) -> str:
    if not pulls:
        return ""
    volts = ", ".join(f"{volt:g} V" for volt in sorted({pull.to_v for pull in pulls}))
    return f"{parallel_ohm(*(pull.ohm for pull in pulls)):g} ohm to {volts}"


def _switch(wired: Wired) -> str:
    switch = wired.path.switch
    if switch is None:
        return ""
    rating = f", {switch.max_a:g} A" if switch.max_a else ""
    return f"{switch.side} side{rating}{', inverting' if switch.inverting else ''}"


def _mates(wired: Wired) -> str:
    return ", ".join(wired.switch_mates)


def _driver(wired: Wired) -> str:
    driver = wired.path.driver
    return f"{driver.name}, {driver.max_a:g} A" if driver and driver.max_a else ""


def _sense(wired: Wired) -> str:
    driver = wired.path.driver
    return f"{driver.sense_ohm:g} ohm" if driver and driver.sense_ohm else ""


def _divider(wired: Wired) -> str:
    divider = wired.path.divider
    return f"{divider.top_ohm:g} over {divider.bottom_ohm:g} ohm" if divider else ""


def _amplifier(wired: Wired) -> str:
    path = wired.path
    reference = f", {path.reference_ohm:g} ohm" if path.reference_ohm else ""
    return f"{path.amplifier}{reference}" if path.amplifier or reference else ""


def _socket(wired: Wired) -> str:
    contact = wired.path.contacts[-1] if wired.path.contacts else None
    return f"{contact.contact_a:g} A" if contact and contact.contact_a else ""


def _crossed(wired: Wired) -> str:
    ratings = (
        conductor.contacts_current_a(contact.contact_a, len(contact.pins))
        for contact in wired.path.contacts[:-1]
        if contact.contact_a
    )
    return f"{least:.1f} A" if (least := min(ratings, default=0.0)) else ""


def _track(wired: Wired) -> str:
    ways = [way for way in (wired.path, wired.supply) if way]
    allowed = (
        conductor.track_current_a(track.width_mm, track.weight_oz, track.layer, TRACK_RISE_K)
        for way in ways
        for _, track in way.tracks
    )
    return f"{least:.1f} A" if (least := min(allowed, default=0.0)) else ""


def _wires(wired: Wired) -> str:
    pairs = zip(wired.path.wires, wired.path.in_parallel, strict=True)
    return ", ".join(f"{count} x {wire.awg} AWG {wire.length_m:g} m" for wire, count in pairs)


FIGURES: dict[str, Figure] = {
    "part": lambda wired: wired.part.title or wired.part.id,
    "supply": lambda wired: "" if wired.supply_v is None else f"{wired.supply_v:g} V",
    "supply rating": lambda wired: f"{wired.supply_max_a:g} A" if wired.supply_max_a else "",
    "switch": _switch,
    "other parts on the switch": _mates,
    "driver": _driver,
    "sense resistor": _sense,
    "pull-up": lambda wired: _pulls(wired.path.pullups),
    "pull-down": lambda wired: _pulls(wired.path.pulldowns),
    "series resistor": lambda wired: (
        f"{wired.path.series_ohm:g} ohm" if wired.path.series_ohm else ""
    ),
    "divider": _divider,
    "amplifier": _amplifier,
    "socket contact": _socket,
    "contacts on the way": _crossed,
    "narrowest track": _track,
    "wires": _wires,
    "fuse": lambda wired: f"{wired.path.fuse_a:g} A" if wired.path.fuse_a else "",
}
"""Every figure that is compared, in the order of the report."""


def figure_differences(before: Wired, after: Wired) -> Iterator[Difference]:
    """Yield the figures that differ between two revisions of one role's copper."""
    yield from differing((name, of(before), of(after)) for name, of in FIGURES.items())
