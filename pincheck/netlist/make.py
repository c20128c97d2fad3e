"""A board file from a netlist: connector tables, rails, pulls; what it cannot know is asked for."""

import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.wiring import Board
from pincheck.netlist.points import Netlist
from pincheck.netlist.read import ListedResistor
from pincheck.netlist.resistors import LINK_OHM, PlacedResistor, bare, not_placed, placed, volts
from pincheck.netlist.sockets import LaidOut, laid_out
from pincheck.wiring import load_board

_ASKED = """\
# Still to be said, by whoever knows the board (configs/wiring.md has every key):
#   of each connector: keyed, shroud, latch, contact_a
#   of a board with a chip: chip, supply_v, and chip_pin, switch or driver of each net
#   of a board without one: driven_by of what is switched, divided or filtered on it
"""


_ON_ONE_LINE = 6
"""Pins in one row that are told apart at a glance."""


@frozen
class MadeBoard:
    """A board file's text, read back; `notes` are what of the netlist is not in it."""

    text: str
    board: Board
    notes: tuple[str, ...]


def make(
    netlist: Netlist,
    names: Mapping[str, str],
    parts: Mapping[str, ListedResistor],
    name: str,
    revision: str = "",
) -> MadeBoard:
    """Return the board file of a netlist; `names` gives connectors a name by reference.

    Raises:
        UnreadableError: no connector is in it, or a name cannot stand in a board file.
    """
    sockets = [laid_out(netlist, it) for it in netlist.sockets(names)]
    sockets = [it for it in sockets if any(it.pins)]
    if not sockets:
        expected = "parts called J1, P1, CN1 or X1, or --connector U3=toolhead"
        message = "no part in it looks like a connector"
        raise UnreadableError(
            (Problem(netlist.source.name, message, expected=expected, fatal=True),)
        )
    carried = {net for it in sockets for net in it.pins if net}
    text = "".join(
        _text(netlist, sockets, names, list(placed(netlist, parts)), carried, name, revision)
    )
    notes = tuple(_notes(netlist, sockets, parts))
    return MadeBoard(text, read_back(text), notes)


def read_back(text: str) -> Board:
    """Return the board that a text describes, as `check` reads it.

    Raises:
        UnreadableError: it does not.
    """
    with TemporaryDirectory(prefix="pincheck-") as folder:
        file = Path(folder) / "board.toml"
        file.write_text(text, encoding="utf-8")
        return load_board(file)


def _text(
    netlist: Netlist,
    sockets: list[LaidOut],
    names: Mapping[str, str],
    resistors: list[PlacedResistor],
    carried: set[str],
    name: str,
    revision: str,
) -> Iterator[str]:
    yield (
        f"# {printable(name)} {printable(revision)}".rstrip()
        + f": from {printable(netlist.source.name)}.\n#\n{_ASKED}"
    )
    said = dict.fromkeys(it for it in resistors if carried & set(it.nets))
    tables = {net: _net(net, resistors, carried) for net in sorted(carried)}
    for it in said:
        if not any(it in used for _, used in tables.values()):
            yield f"#   {printable(it.said)}\n"
    yield f"\n[board]\nname = {_quoted(name)}\n"
    if revision:
        yield f"revision = {_quoted(revision)}\n"
    pins = Counter(net for it in sockets for net in it.pins)
    for net, (lines, _) in tables.items():
        # A net of one pin only would be taken for a slip of the pen.
        if lines or (pins[net] == 1 and volts(net) is None):
            others = _others(netlist, net, {it.reference for it in sockets})
            yield f"\n[nets.{_key(net)}]{others}\n" + "".join(f"{line}\n" for line in lines)
    for socket in sockets:
        yield "".join(_connector(socket, names.get(socket.reference, socket.reference)))


def _net(
    net: str, resistors: list[PlacedResistor], carried: set[str]
) -> tuple[list[str], list[PlacedResistor]]:
    """Return what is said of one net, and the resistors that say it."""
    lines, used = [], []
    own_volts = volts(net)
    if own_volts is not None and bare(net) != net:
        lines.append(f"supply_v = {own_volts}")
    for way, ground in (("pullup", False), ("pulldown", True)):
        pulls = [
            it
            for it in resistors
            if (to := it.pull_from(net)) is not None and (to == 0.0) is ground
        ]
        if len(pulls) == 1:
            (pull,) = pulls
            rail = "" if ground else f", to_v = {pull.pull_from(net)}"
            pct = pull.listed.tolerance_pct
            tolerance = f", tolerance_pct = {pct}" if pct else ""
            if 10 <= pull.ohm <= 10_000_000:
                lines.append(
                    f"{way} = {{ ohm = {pull.ohm}{rail}{tolerance} }}  # {pull.listed.reference}"
                )
                used.append(pull)
    if own_volts == 0.0:
        for it in resistors:
            other = it.nets[it.nets.index(net) - 1] if net in it.nets else ""
            if it.ohm <= LINK_OHM and other in carried and volts(other) == 0.0 and net > other:
                lines.append(f"joined_to = {_quoted(other)}  # {printable(it.listed.reference)}")
                used.append(it)
                break
    return lines, used


def _others(netlist: Netlist, net: str, sockets: set[str]) -> str:
    """Return as a comment what else is on a net: where its chip_pin or switch may be found."""
    found = [
        it
        for it in netlist.nets[net]
        if it.reference not in sockets and it.reference[:1] not in "RC"
    ]
    listed = ", ".join(f"{it.reference} pin {it.pin}" for it in found[:6])
    return f"  # on {printable(listed)}" if listed else ""


def _connector(socket: LaidOut, name: str) -> Iterator[str]:
    yield f"\n[connectors.{_key(name)}]\n"
    if name != socket.reference:
        yield f"reference = {_quoted(socket.reference)}\n"
    if socket.pitch_mm and 0.3 <= socket.pitch_mm <= 30:
        yield f"pitch_mm = {socket.pitch_mm}\n"
    rows = socket.rows or 1
    if rows > 1:
        yield f"rows = {rows}\n"
        if socket.numbering == "rows":
            yield 'numbering = "rows"\n'
    if rows == 1 and len(socket.pins) <= _ON_ONE_LINE:
        yield f"pins = [{', '.join(map(_quoted, socket.pins))}]\n"
        return
    yield "pins = [\n"
    for number in range(0, len(socket.pins), rows):
        line = socket.pins[number : number + rows]
        shown = " ".join(f"{_quoted(net)}," for net in line)
        yield f"    {shown}  # {' '.join(str(number + n + 1) for n in range(len(line)))}\n"
    yield "]\n"


def _notes(
    netlist: Netlist, sockets: list[LaidOut], parts: Mapping[str, ListedResistor]
) -> Iterator[str]:
    if netlist.copies > 1:
        yield f"every pin stands at {netlist.copies} places, a panel: taken once"
    for it in sockets:
        if it.left_out:
            listed = ", ".join(it.left_out)
            yield f"{it.reference}: pins without a number are left out ({listed})"
    if parts:
        yield from not_placed(netlist, parts)


def _quoted(text: str) -> str:
    """Return a text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _key(text: str) -> str:
    return text if re.fullmatch(r"[A-Za-z0-9_-]+", text) else _quoted(text)
