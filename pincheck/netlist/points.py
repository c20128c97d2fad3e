"""What a netlist comes to: which pin of which part stands on which net, each pin once."""

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span
from pincheck.toml.table import show

_NOTHING = re.compile(r"N/?C|NO[ _]?NET|UNCONNECTED.*|", re.IGNORECASE)
"""Net names that stand for no net: IPC-D-356, and what layout programs write (from memory)."""

_SOCKET = re.compile(r"(?:J|P|CN|CON|X)\d{1,4}[A-Z]?", re.IGNORECASE)
"""References of connectors: J and P of IEEE 315, the others common practice."""

_IMAGE_MM = 5.0
"""Images of a panel lie further apart than the pads of one pin (`common practice`)."""


@frozen
class NetPoint:
    """One record: a pin and its net, empty for none; `at_mm` is its place on the board."""

    net: str
    reference: str
    pin: str
    span: Span
    at_mm: tuple[float, float] | None = None


@frozen(slots=False)
class Netlist:
    """`pins` has by reference and pin the first record of each; `copies` the images of a panel."""

    source: Source
    pins: Mapping[str, Mapping[str, NetPoint]]
    job: str = ""
    copies: int = 1

    @cached_property
    def nets(self) -> dict[str, list[NetPoint]]:
        """The points of every net."""
        found: dict[str, list[NetPoint]] = {}
        for pins in self.pins.values():
            for point in pins.values():
                if point.net:
                    found.setdefault(point.net, []).append(point)
        return found

    def sockets(self, named: Iterable[str] = ()) -> Iterator[str]:
        """Yield the references that are connectors: those named, and those that look like one."""
        wanted = set(named)
        for reference in self.pins:
            if reference in wanted or _SOCKET.fullmatch(reference):
                yield reference


def netlist(source: Source, points: Iterable[NetPoint], job: str = "") -> Netlist:
    """Return the netlist of these records.

    Several records of one pin (both sides, several pads, images of a panel) are one pin.

    Raises:
        UnreadableError: one pin stands on two nets, or there is no pin at all.
    """
    pins: dict[str, dict[str, NetPoint]] = {}
    places: dict[tuple[str, str], list[tuple[float, float]]] = {}
    problems = []
    for point in points:
        first = pins.setdefault(point.reference, {}).setdefault(point.pin, point)
        if first.net != point.net:
            problems.append(_two_nets(source, first, point))
        for name in (point.net, point.reference, point.pin):
            if printable(name) != name or len(name) > limits.WIRING_TEXT:
                expected = f"printable text of at most {limits.WIRING_TEXT} letters"
                message = f"{show(name)} cannot be a name"
                line = source.line(point.span.line)
                problems.append(
                    Problem(source.name, message, point.span, line, expected, fatal=True)
                )
        if point.at_mm:
            seen = places.setdefault((point.reference, point.pin), [])
            if all(_apart_mm(point.at_mm, other) > _IMAGE_MM for other in seen[:100]):
                seen.append(point.at_mm)
    if not pins:
        message = "there is no pin of any part in it"
        expected = "IPC-D-356 records, or a table with the columns net, reference and pin"
        problems.append(Problem(source.name, message, expected=expected, fatal=True))
    if problems:
        raise UnreadableError(tuple(problems[: limits.WIRING_PROBLEMS]))
    images = {len(seen) for seen in places.values()}
    return Netlist(source, pins, job, images.pop() if len(images) == 1 else 1)


def _apart_mm(one: tuple[float, float], two: tuple[float, float]) -> float:
    return max(abs(one[0] - two[0]), abs(one[1] - two[1]))


def _two_nets(source: Source, first: NetPoint, second: NetPoint) -> Problem:
    message = (
        f"pin {second.pin} of {second.reference} is on {named(second.net)}, and on "
        f"{named(first.net)} in line {first.span.line}"
    )
    expected = "one net for each pin; of a panel with several boards, the netlist of one"
    return Problem(
        source.name, message, second.span, source.line(second.span.line), expected, fatal=True
    )


def plain(net: str) -> str:
    """Return a net's name without the blanks around it, empty where it stands for no net."""
    return "" if _NOTHING.fullmatch(net.strip()) else net.strip()


def named(net: str) -> str:
    """Return a net as messages name it."""
    return f"net {show(net)}" if net else "no net"


def pin_name(text: str) -> str:
    """Return a pin's name as it is compared: without blanks and leading zeros, in capitals."""
    return text.strip().upper().lstrip("0") or "0"
