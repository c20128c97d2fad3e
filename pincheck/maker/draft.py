"""A first assembly from a known-good configuration and its mainboard, marked as unverified."""

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import tomli_w

from pincheck.analysis import roles
from pincheck.check import check
from pincheck.claims import Vocabulary
from pincheck.claims import claims as claims_of
from pincheck.intake.machines import Machine, read
from pincheck.maker.guess import guess
from pincheck.maker.sockets import FreeSockets
from pincheck.model.claim import Claim, Claims, PinValue
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.problem import UnreadableError
from pincheck.model.role import order, sibling, split
from pincheck.model.wiring import Assembly, Board, Part
from pincheck.reports.sentences import firmware_line
from pincheck.wiring import load
from pincheck.wiring.parts import built_in

_HEAD = """\
# A DRAFT, made from a configuration: what it claims of this mainboard, taken at its word.
# Parts are guesses from the catalogue, sockets are the smallest ones that would do, and a
# breakout board between mainboard and parts is not described at all. Go through it table by
# table with the machine open and unplugged, correct it, and take `unverified = true` out of what
# you have seen with your own eyes: while the mark is there, no check says "agrees".
"""


class NoDraftError(Exception):
    """Nothing can be drafted; the text says why."""


@frozen
class Draft:
    """The text of an assembly's file, what it is read back as, and what could not be drafted."""

    text: str
    assembly: Assembly
    left_out: tuple[tuple[str, str], ...] = ()
    """(role, reason)."""


def draft(
    machine: Machine, board: Board, board_file: str, words: Vocabulary | None = None
) -> Draft:
    """Return a first assembly with what a configuration implies.

    `board_file` is the board's path relative to the folder that the draft will stand in.

    Raises:
        NoDraftError: the board has no chip, or the configuration claims nothing of its pins.
    """
    if not board.chip or board.source is None:
        raise NoDraftError(f"{board.title} has no chip: a draft needs the mainboard's description")
    claims = claims_of(read(machine), Assembly("draft", {"main": board}), words)
    maker = _Maker(claims, board)
    tables = [*maker.fits(), *maker.limits()]
    if not tables:
        raise NoDraftError(f"the configuration claims no pin that {board.title} has")
    about = {"assembly": {"name": f"{machine.name} on {board.title} (draft)"}}
    pieces = [_HEAD, tomli_w.dumps(about), tomli_w.dumps({"boards": {"main": board_file}})]
    pieces += (f"# {printable(why)}\n{tomli_w.dumps(table)}" for why, table in tables)
    text = "\n".join(pieces)
    return Draft(text, _read_back(text, machine, board, board_file, words), tuple(maker.left_out))


class _Maker:
    """Goes through the claims once; `left_out` fills while `fits` is consumed."""

    def __init__(self, claims: Claims, board: Board) -> None:
        self.claims, self.board = claims, board
        self.sockets = FreeSockets(board)
        self.catalogue = built_in()[0]
        self.left_out: list[tuple[str, str]] = []

    def fits(self) -> Iterator[tuple[str, dict[str, Any]]]:
        """Yield where it comes from and the table of every part that a pin is claimed for."""
        for role in sorted(self.claims.roles(), key=order):
            claim = self.claims.find(role, "pin")
            if claim is None or self._comes_with_probe(role):
                continue
            found = self._fit(role, claim)
            if isinstance(found, str):
                self.left_out.append((role, found))
            elif found:
                group, number, function = split(role)
                name = f"{group}{number or ''}_{function}"
                yield firmware_line(claim), {"fit": {name: found}}

    def _fit(self, role: str, claim: Claim) -> dict[str, Any] | str:
        pin = claim.value
        if claim.doubt:
            return claim.doubt
        if not isinstance(pin, PinValue) or pin.absent or pin.virtual:
            return {}
        if pin.place is None:
            return pin.unknown
        part = guess(role, self.claims, self.board, self.catalogue)
        if part is None:
            return f"no part of the catalogue is what the {roles.name(role)} is claimed to be"
        seat = self.sockets.seat(part, self._lines(role, pin.place.pin, part), _grounded(role))
        if seat is None:
            return self._no_seat(part, pin.place.pin)
        made: dict[str, Any] = {"role": role, "at": f"main.{seat[0]}", "part": part.id}
        if seat[1] != tuple(range(1, len(seat[1]) + 1)):
            made["pins"] = list(seat[1])
        return {**made, "unverified": True}

    def _no_seat(self, part: Part, pin: str) -> str:
        title, connector = self.board.title, self.sockets.carrying(pin)
        if not connector:
            return f"{title} has no socket with {pin} for {part.id}"
        return (
            f"{connector} of {title} carries {pin}, but has no pins left for all of {part.id}: "
            f"describe the breakout that shares supply and ground among its parts"
        )

    def _lines(self, role: str, pin: str, part: Part) -> dict[str, str]:
        """Return the chip pin behind each kind of terminal that is not supply or ground."""
        if roles.function(role) == "motor":
            return {"coil": pin}
        own = next(
            (want for want in ("switched", "signal", "any", "control") if want in part.terminals),
            "any",
        )
        lines = {own: pin}
        if roles.function(role) == "signal" and "control" in part.terminals:
            servo = self.claims.find(str(sibling(role, "servo")), "pin")
            if servo and isinstance(servo.value, PinValue) and servo.value.place:
                lines["control"] = servo.value.place.pin
        return lines

    def _comes_with_probe(self, role: str) -> bool:
        if roles.function(role) != "servo":
            return False
        signal = str(sibling(role, "signal"))
        part = guess(signal, self.claims, self.board, self.catalogue)
        claimed = self.claims.find(signal, "pin")
        return claimed is not None and part is not None and "control" in part.terminals

    def limits(self) -> Iterator[tuple[str, dict[str, Any]]]:
        """Yield the table of every limit that the configuration itself sets."""
        for role in sorted(self.claims.roles(), key=order):
            claim, margin = self.claims.find(role, "max_c"), self.claims.find(role, "overshoot_c")
            if roles.function(role) != "heater" or claim is None or claim.doubt:
                continue
            spare = margin.value if margin and isinstance(margin.value, float) else 0.0
            assert isinstance(claim.value, float)
            made = {
                "max_c": claim.value - spare,
                "because": "what the configuration allows, not what the parts stand",
                "unverified": True,
            }
            yield firmware_line(claim), {"limits": {role.partition(".")[0]: made}}


def _grounded(role: str) -> bool:
    """Return whether a part's second two-way terminal goes to ground rather than to the supply."""
    return roles.function(role) in ("sensor", "endstop", "signal")


def _read_back(
    text: str, machine: Machine, board: Board, board_file: str, words: Vocabulary | None
) -> Assembly:
    """Return the draft as it is read; it must load, and no check on it may say "agrees".

    Raises:
        NoDraftError: it does not load, or its marks do not hold.
    """
    assert board.source
    with TemporaryDirectory(prefix="pincheck-") as folder:
        path = Path(folder) / board_file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(board.source.data)
        file = Path(folder) / "draft.toml"
        file.write_text(text, encoding="utf-8")
        try:
            assembly = load(file)
        except UnreadableError as error:
            raise NoDraftError(f"what was drafted cannot be read back: {error}") from None
    if check(read(machine), assembly, words).tally("agrees"):
        raise NoDraftError("a check on the draft would say that something agrees")
    return assembly
