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
from pincheck.maker.sockets import FreeSockets, cables, through
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
# Parts are guesses from the catalogue, sockets are the smallest ones that would do, and the cable
# to a breakout is taken for a straight one. Go through it table by table with the machine open and
# unplugged, correct it, and take `unverified = true` out of what you have seen with your own eyes:
# while the mark is there, no check says "agrees".
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


@frozen
class DraftBoard:
    """A board with its path relative to the folder that the draft will stand in."""

    board: Board
    file: str


def draft(
    machine: Machine,
    main: DraftBoard,
    tool: DraftBoard | None = None,
    words: Vocabulary | None = None,
) -> Draft:
    """Return a first assembly with what a configuration implies; `tool` is a breakout.

    Raises:
        NoDraftError: the mainboard has no chip or no socket for the breakout's cable, or the
            configuration claims nothing of its pins.
    """
    board = main.board
    if not board.chip or board.source is None:
        raise NoDraftError(f"{board.title} has no chip: a draft needs the mainboard's description")
    claims = claims_of(read(machine), Assembly("draft", {"main": board}), words)
    boards = {"main": main.file}
    joined = list[str]()
    if tool:
        boards["tool"] = tool.file
        cable = _cable(claims, board, tool.board)
        board = through(board, tool.board, cable)
        ends = {"from": f"main.{cable[0]}", "to": f"tool.{cable[1]}"}
        said = {**ends, "wiring": "straight", "unverified": True}
        joined.append(f"# as many pins on both ends\n[[cables]]\n{tomli_w.dumps(said)}")
    maker = _Maker(claims, board)
    tables = [*maker.fits(), *maker.limits()]
    if not tables:
        raise NoDraftError(f"the configuration claims no pin that {board.title} has")
    on = f"{board.title} with {tool.board.title}" if tool else board.title
    about: dict[str, Any] = {"name": f"{machine.name} on {on} (draft)"}
    if maker.left_out:
        about["unknown"] = [role for role, _ in maker.left_out]
    told = (f"# {printable(why)}\n{tomli_w.dumps(table)}" for why, table in tables)
    text = "\n".join([_HEAD, tomli_w.dumps({"assembly": about, "boards": boards}), *joined, *told])
    assembly = _read_back(text, machine, (main, tool) if tool else (main,), words)
    return Draft(text, assembly, tuple(maker.left_out))


def _cable(claims: Claims, board: Board, tool: Board) -> tuple[str, str]:
    """Return the cable behind which most of the claimed parts find a socket of the breakout."""

    def seated(cable: tuple[str, str]) -> int:
        fits = (it for _, it in _Maker(claims, through(board, tool, cable)).fits())
        return sum(fit["at"].startswith("tool.") for it in fits for fit in it["fit"].values())

    best = max(cables(board, tool), key=seated, default=None)
    if best is None:
        count = max((len(it.pins) for it in tool.connectors.values()), default=0)
        raise NoDraftError(
            f"no socket of {board.title} has {count} pins, as the largest of {tool.title} has: "
            f"describe the cable between them yourself"
        )
    return best


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
        at = seat[0] if "." in seat[0] else f"main.{seat[0]}"
        made: dict[str, Any] = {"role": role, "at": at, "part": part.id}
        if seat[1] != tuple(range(1, len(seat[1]) + 1)):
            made["pins"] = list(seat[1])
        return {**made, "unverified": True}

    def _no_seat(self, part: Part, pin: str) -> str:
        title, connector = self.board.title, self.sockets.carrying(pin)
        if not connector:
            return f"{title} has no socket with {pin} for {part.id}"
        return (
            f"{connector} of {title} carries {pin}, but has no pins left for all of {part.id}: "
            f"name the breakout that shares supply and ground among its parts"
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
    text: str, machine: Machine, boards: tuple[DraftBoard, ...], words: Vocabulary | None
) -> Assembly:
    """Return the draft as it is read; it must load, and no check on it may say "agrees".

    Raises:
        NoDraftError: it does not load, or its marks do not hold.
    """
    with TemporaryDirectory(prefix="pincheck-") as folder:
        for it in boards:
            path = Path(folder) / it.file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(it.board.source.data if it.board.source else b"")
        file = Path(folder) / "draft.toml"
        file.write_text(text, encoding="utf-8")
        try:
            assembly = load(file)
        except UnreadableError as error:
            raise NoDraftError(f"what was drafted cannot be read back: {error}") from None
    if check(read(machine), assembly, words).tally("agrees"):
        raise NoDraftError("a check on the draft would say that something agrees")
    return assembly
