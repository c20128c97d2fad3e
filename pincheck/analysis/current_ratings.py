"""What each thing on a current's way may carry for hours, and what it carries."""

from collections.abc import Hashable, Iterator

from attrs import frozen

from pincheck.model.finding import Input, Number
from pincheck.model.path import Path
from pincheck.model.wiring import Track
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
    given: tuple[Input, ...] = ()
    key: Hashable = None
    blows: bool = False
    """Whether it opens the circuit when it carries too much, and nothing else happens."""

    @property
    def number(self) -> Number:
        """What it may carry, with its derivation."""
        name = f"allowed for {self.what}"
        return Number(name, self.may_a, "A", self.formula, self.given, self.source)


def track_current_a(track: Track) -> float:
    """Return what a track carries at the allowed rise."""
    return conductor.track_current_a(track.width_mm, track.weight_oz, track.layer, TRACK_RISE_K)


def strains(path: Path, supply_path: Path | None) -> Iterator[Strain]:
    """Yield the rating of the switch, and of contacts, tracks, wires and fuses both ways."""
    if path.switch and path.switch.max_a:
        yield Strain("the switch", path.switch.max_a, "as rated", "wiring")
    for way in (path, supply_path):
        if way is not None:
            yield from _on(way)


def _wired(name: str, value: float, unit: str = "") -> Input:
    return Input(name, value, unit, "wiring")


def _on(path: Path) -> Iterator[Strain]:
    for contact in path.contacts:
        if contact.contact_a:
            count = len(contact.pins)
            yield Strain(
                f"{count} contact{'s' * (count > 1)} of {contact.board}.{contact.connector}",
                conductor.contacts_current_a(contact.contact_a, count),
                f"rating x count x {conductor.PARALLEL_CONTACTS:g}" if count > 1 else "as rated",
                "common practice",
                (_wired("rating of one contact", contact.contact_a, "A"), _wired("count", count)),
                contact,
            )
    for net, track in path.tracks:
        yield Strain(
            f"the track of {net}",
            track_current_a(track),
            f"k dT^0.44 A^0.725, dT = {TRACK_RISE_K:.0f} K, A = width x weight x "
            f"{conductor.OUNCE_MM} mm in square mil",
            "IPC-2221",
            (
                _wired("width", track.width_mm, "mm"),
                _wired("weight", track.weight_oz, "oz"),
                Input("k", conductor.LAYER_FACTOR[track.layer], "", f"{track.layer} layer"),
            ),
            (net, track),
        )
    for wire, count in zip(path.wires, path.in_parallel, strict=True):
        if wire.awg in conductor.CHASSIS_A:
            # Out and back share the bundle: twice the conductors warm each other.
            single_a = conductor.wire_current_a(wire.awg)
            bundled_a = conductor.wire_current_a(wire.awg, 2 * count)
            yield Strain(
                f"{count} wires of {wire.awg} AWG" if count > 1 else f"the {wire.awg} AWG wire",
                count * bundled_a,
                "current of the gauge x count x share in a bundle",
                "Handbook of Electronic Tables and Formulas, chassis wiring; NFPA 70, from memory",
                (
                    Input("current of the gauge", single_a, "A", f"{wire.awg} AWG"),
                    _wired("count", count),
                    Input("share in a bundle", bundled_a / single_a, "", f"{2 * count} conductors"),
                ),
                # The conductors of one cable share its name: the way in tells them apart.
                (wire.of, path.contacts[:1]),
            )
    if path.fuse:
        fused, rating = path.fuse
        may = rating * supply.FUSE_HOLDS
        yield Strain(
            "the fuse",
            may,
            "fuse rating x 1.1",
            "ISO 8820-3, from memory",
            (_wired("fuse rating", rating, "A"),),
            fused,
            True,
        )
