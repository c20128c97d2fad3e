"""Pins that the mainboard's own header sets, in the define style."""

from collections.abc import Iterable, Iterator

from attrs import evolve

from pincheck.claims.entry import PINS
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.shown import all_hold, text_of
from pincheck.model.claim import Claim, PinValue
from pincheck.model.role import split
from pincheck.model.setting import Activity
from pincheck.model.wiring import Board

Spot = tuple[str, str]


def mainboard(machine: Interpretation) -> tuple[Board | None, str]:
    """Return the main board if the configuration is surely for it, and else why it is not."""
    if machine.assembly is None or not machine.assembly.main:
        return None, ""
    board = machine.assembly.boards[machine.assembly.main]
    named = [m.setting for m in machine.matches if m.entry.link == "mainboard"]
    if not named:
        return None, "no MOTHERBOARD is set, so the board's own pins are not known"
    if named[-1].activity is not Activity.ACTIVE:
        return None, f"MOTHERBOARD holds only if {named[-1].condition}"
    written = {named[-1].value.strip(), text_of(named[-1])}
    if not board.identifiers:
        return None, f"the wiring does not say what name {board.title} has in the define style"
    if not written & set(board.identifiers):
        names = " or ".join(board.identifiers)
        return None, (
            f"the configuration is for {named[-1].value}, the wiring has {board.title} ({names})"
        )
    return board, ""


def other_board(machine: Interpretation) -> Claim | None:
    """Return the line that surely names another board than the wiring's, None where none does."""
    if machine.assembly is None or not machine.assembly.main:
        return None
    board = machine.assembly.boards[machine.assembly.main]
    named = [m.setting for m in machine.matches if m.entry.link == "mainboard"]
    if not named or named[-1].activity is not Activity.ACTIVE or not board.identifiers:
        return None
    line = named[-1]
    if {line.value.strip(), text_of(line)} & set(board.identifiers) or line.resolved is None:
        return None
    return Claim("", "pin", PinValue(line.value.strip()), line)


def stock_pins(machine: Interpretation, board: Board, claimed: Iterable[Claim]) -> Iterator[Claim]:
    """Yield a claim for every pin that the board's own header sets and the files do not.

    A fan output that the board merely offers counts only where the wiring uses it so. A key that
    counts only perhaps gives way to a certain one that means the same pin.
    """
    found: dict[Spot, Claim] = {}
    taken: set[Spot] = {(c.role, c.attribute) for c in claimed if c.active}
    maybe = {(c.role, c.attribute): c for c in claimed if not c.active}
    for key, pin in board.stock_pins.items():
        for entry, groups in machine.vocabulary.match("", key):
            if entry.read_as not in PINS:
                continue
            for role, all_groups in machine.roles(entry, groups):
                holds, doubt = all_hold(machine.shown, entry.needs, "", all_groups)
                spot = role, entry.attribute
                if not holds or spot in taken or (doubt and all_groups.get("n", "0") != "0"):
                    continue
                value = machine.pins.read(pin, analog=entry.read_as == "analog pin")
                if entry.spare and split(role)[1] and not _used_so(machine, role, value):
                    continue
                doubt = maybe[spot].doubt if spot in maybe else doubt
                origin = f"stock pin of {board.title} ({key})"
                claim = Claim(role, entry.attribute, value, origin=origin)
                first = found.setdefault(spot, evolve(claim, unknown=doubt or value.unknown))
                if first.unknown and not doubt and _same_pin(first, value):
                    found[spot] = claim
    yield from found.values()


def _same_pin(claim: Claim, value: PinValue) -> bool:
    return value.place is not None and getattr(claim.value, "place", None) == value.place


def _used_so(machine: Interpretation, role: str, value: PinValue) -> bool:
    wired = machine.trace.find(role) if machine.trace else None
    return wired is not None and wired.place is not None and wired.place == value.place


def without_spares(machine: Interpretation, claimed: list[Claim]) -> list[Claim]:
    """Return the claims without fans that the board merely offers.

    A board's header sets a pin for every fan output; one that another fan uses, or for which
    nothing is fitted, is no claim of the user's. One on the pin of something else is a mistake.
    """
    kinds = {m.role.partition("{")[0] for m in machine.vocabulary.entries if m.spare}
    spare = {c.role for c in claimed if split(c.role)[1] and split(c.role)[0] in kinds}
    fitted = {fit.role for fit in machine.assembly.fits} if machine.assembly else spare
    pins = [(c.role, c.value.place) for c in claimed if isinstance(c.value, PinValue)]
    fans = {place for role, place in pins if role not in spare and split(role)[2] == "fan"}
    others = {place for role, place in pins if split(role)[2] != "fan"}
    on_used = {role for role, place in pins if place and place in fans}
    on_others = {role for role, place in pins if place and place in others}
    dropped = {role for role in spare if role in on_used or role not in fitted | on_others}
    return [claim for claim in claimed if claim.role not in dropped]
