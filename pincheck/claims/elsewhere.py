"""Pins that lines name and that make no claim: of keys without an entry, or behind a first."""

from collections.abc import Iterable, Iterator, Sequence

from attrs import evolve

from pincheck.claims.entry import PINS
from pincheck.claims.interpretation import Interpretation, Match
from pincheck.claims.shown import SEEN, text_of
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.setting import Activity, Setting


def elsewhere(machine: Interpretation, kept: Iterable[Claim]) -> Iterator[Claim]:
    """Yield a claim of no role for every such pin whose line the firmware sees or may see.

    A header of the board's own names many pins that nothing uses, so there only a few keys count.
    """
    claimed: set[tuple[int, Place | None]] = set()
    for claim in kept:
        if isinstance(claim.value, PinValue) and claim.attribute in ("pin", "homing_pin"):
            claimed.add((id(claim.setting), claim.value.place))
    spoken = {line for line, _ in claimed}
    headers = _own_headers(machine)
    override = allowed_twice(machine)
    for setting in machine.reading.settings:
        if setting.activity not in SEEN or not setting.key:
            continue
        if setting.source.name in headers and not machine.style.uses_pin(setting.key):
            continue
        matches = tuple(machine.matches_of(setting))
        if not _names_pin(machine, setting, matches, spoken=id(setting) in spoken):
            continue
        analog = any(match.entry.read_as == "analog pin" for match in matches)
        unknown = setting.unknown if setting.resolved is None else ""
        for piece in machine.style.pieces(text_of(setting)):
            pin = machine.pins.read(piece.text, analog=analog)
            if pin.place and pin.place not in override and (id(setting), pin.place) not in claimed:
                yield Claim("", "pin", evolve(pin, written=piece.text), setting, unknown=unknown)


def _names_pin(
    machine: Interpretation, setting: Setting, matches: Sequence[Match], *, spoken: bool
) -> bool:
    """Tell whether a line is about pins of which some may be in no claim.

    One that an entry knows and that claims nothing has no effect, unless the thing is nothing
    that a role stands for.
    """
    if not matches:
        return machine.style.names_pin(setting.key)
    pins = [m for m in matches if m.entry.read_as in PINS]
    return bool(pins) and (
        spoken or not any(any(machine.roles(m.entry, m.groups, text_of(setting))) for m in pins)
    )


def _own_headers(machine: Interpretation) -> frozenset[str]:
    steps = machine.shown.of("", "X_STEP_PIN") if machine.style.board_header else ()
    return frozenset(s.source.name for s in steps if s.activity is Activity.ACTIVE)


def allowed_twice(machine: Interpretation) -> frozenset[Place]:
    """Return the pins that the files themselves allow to be used more than once."""
    found = (m.setting for m in machine.matches if m.entry.link == "pins used twice")
    pieces = (piece for setting in found for piece in machine.style.pieces(text_of(setting)))
    pins = (machine.pins.read(piece.text).place for piece in pieces)
    return frozenset(place for place in pins if place)
