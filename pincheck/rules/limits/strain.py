"""What each thing on a current's way may carry for hours, and what it carries."""

from collections.abc import Hashable, Iterator

from attrs import frozen

from pincheck.model.path import Path
from pincheck.physics import conductor, supply

TRACK_RISE_K = 40.0
"""How far a track may warm (`common practice` for FR-4 boards beside a hot end)."""


@frozen
class Strain:
    """One thing on the way, in words, with what it may carry.

    `key` is the same on every way that the thing lies on.
    """

    what: str
    may_a: float
    formula: str
    source: str
    key: Hashable = None
    blows: bool = False
    """Whether it opens the circuit when it carries too much, and nothing else happens."""


def strains(path: Path, supply_path: Path | None) -> Iterator[Strain]:
    """Yield the rating of the switch, and of contacts, tracks, wires and fuses both ways."""
    if path.switch and path.switch.max_a:
        yield Strain("the switch", path.switch.max_a, "rating of the switch", "wiring")
    for way in (path, supply_path):
        if way is not None:
            yield from _on(way)


def _on(path: Path) -> Iterator[Strain]:
    for contact in path.contacts:
        if contact.contact_a:
            count = len(contact.pins)
            yield Strain(
                f"{count} contact{'s' * (count > 1)} of {contact.board}.{contact.connector}",
                conductor.contacts_current_a(contact.contact_a, count),
                "contact rating x count x 0.8 for several in parallel",
                "common practice",
                contact,
            )
    for net, track in path.tracks:
        yield Strain(
            f"the track of {net}",
            conductor.track_current_a(track.width_mm, track.weight_oz, track.layer, TRACK_RISE_K),
            f"k dT^0.44 A^0.725 for a rise of {TRACK_RISE_K:.0f} K",
            "IPC-2221",
            (net, track),
        )
    for wire, count in zip(path.wires, path.in_parallel, strict=True):
        if wire.awg in conductor.CHASSIS_A:
            # Out and back share the bundle: twice the conductors warm each other.
            yield Strain(
                f"{count} wires of {wire.awg} AWG" if count > 1 else f"the {wire.awg} AWG wire",
                count * conductor.wire_current_a(wire.awg, 2 * count),
                "current of the gauge x count, less in a bundle",
                "Handbook of Electronic Tables and Formulas, chassis wiring; NFPA 70",
                # The conductors of one cable share its name: the way in tells them apart.
                (wire.of, path.contacts[:1]),
            )
    if path.fuse:
        fused, rating = path.fuse
        may = rating * supply.FUSE_HOLDS
        yield Strain("the fuse", may, "fuse rating x 1.1", "ISO 8820-3, from memory", fused, True)
