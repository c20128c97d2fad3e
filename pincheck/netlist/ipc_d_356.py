"""IPC-D-356 and 356A: bare-board test data, records of 80 columns.

The columns are those of the standard, checked on published samples; alias lines and the records
of conductors, adjacency and outline that 356A adds are from memory.
"""

import re
from collections.abc import Iterable, Iterator, Mapping

from attrs import evolve

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span
from pincheck.netlist.points import Netlist, NetPoint, netlist, pin_name, plain
from pincheck.toml.table import show

_COLUMNS: Mapping[str, tuple[int, int]] = {
    "code": (1, 3),
    "net": (4, 17),
    "gap": (18, 20),
    "reference": (21, 26),
    "dash": (27, 27),
    "pin": (28, 31),
    "place": (42, 57),
}
"""First and last column of each field, counted from 1."""

_POINT = re.compile(r"[30][1236]7")
"""Through hole, surface pad, unplated hole; `0` continues the record before."""

_OTHER = re.compile(r"[30][789][0-9]|[30][45]7")
"""Conductors, adjacency and outline (356A), tooling: they name no pin."""

_PLACE = re.compile(r"X([+-]?\d{1,7})Y([+-]?\d{1,7})")
_ALIAS = re.compile(r"P\s+(NNAME\d{1,9})\s+(\S.*)", re.IGNORECASE)
_UNITS = re.compile(r"P\s+UNITS\s+(.*)", re.IGNORECASE)
_JOB = re.compile(r"P\s+JOB\s+(\S.*)", re.IGNORECASE)
_PARAMETER = re.compile(r"[CP](?:\s.*)?|[CP]")
_MM = {"0": 0.00254, "1": 0.001, "2": 0.00254}
"""Millimetres of one unit of a coordinate, by the number of the custom unit."""


@frozen
class _Record:
    text: str
    start: int
    source: Source

    def field(self, name: str) -> str:
        first, last = _COLUMNS[name]
        return self.text[first - 1 : last].strip()

    def span(self, name: str) -> Span:
        first, last = _COLUMNS[name]
        start = min(first - 1, len(self.text))
        return self.source.span(
            self.start + start, self.start + max(min(len(self.text), last), start)
        )

    def wrong(self, name: str, message: str, expected: str) -> Problem:
        return Problem(self.source.name, message, self.span(name), self.text, expected, fatal=True)


def is_ipc_d_356(source: Source) -> bool:
    """Return whether a file's first lines are records of the standard."""
    head = source.text[: limits.HEAD_BYTES].splitlines()[:50]
    return any(
        (_POINT.match(line) and len(line) > 26) or re.match(r"P\s+(JOB|UNITS|VER)\b", line)
        for line in head
    )


def read(source: Source) -> Netlist:
    """Return the netlist.

    Raises:
        UnreadableError: records that cannot be read, the end is missing, or no part is in it; with
            every mistake up to a bound.
    """
    problems: list[Problem] = []
    points: list[tuple[NetPoint, _Record]] = []
    aliases: dict[str, str] = {}
    job, unit_mm, ended = "", _MM["0"], False
    for record in _records(source):
        text = record.text
        if ended:
            problems.append(record.wrong("code", "a record behind the end", "nothing after 999"))
            break
        if form := _ALIAS.fullmatch(text):
            name, long = form[1].upper(), form[2].strip()
            if aliases.setdefault(name, long) != long:
                message = f"{name} stands for {show(aliases[name])} already"
                problems.append(record.wrong("net", message, "one name for each alias"))
        elif form := _UNITS.fullmatch(text):
            unit_mm = _unit_mm(form[1], unit_mm)
        elif form := _JOB.fullmatch(text):
            job = job or printable(form[1].strip())
        elif text.startswith("999"):
            ended = True
        elif _POINT.match(text):
            found = _point(record, points[-1][0] if points else None, unit_mm)
            if isinstance(found, Problem):
                problems.append(found)
            else:
                points.append((found, record))
        elif not (_PARAMETER.fullmatch(text) or _OTHER.match(text)):
            expected = "317, 327, 367, 017, 027, 999, C or P in the first columns"
            message = f"{show(text[:3])} is no record of this standard"
            problems.append(record.wrong("code", message, expected))
        if len(problems) >= limits.WIRING_PROBLEMS:
            break
    if not ended and not problems:
        last = source.span(len(source.text), len(source.text))
        message = "the file ends without its record 999: it was cut off, and pins may be missing"
        problems.append(
            Problem(source.name, message, last, expected="the whole export", fatal=True)
        )
    points = [(_renamed(point, aliases, record, problems), record) for point, record in points]
    if problems:
        raise UnreadableError(tuple(problems[: limits.WIRING_PROBLEMS]))
    return netlist(source, _on_parts(point for point, _ in points), job)


def _records(source: Source) -> Iterator[_Record]:
    start = 0
    for number, line in enumerate(source.text.split("\n")):
        if number >= limits.NETLIST_LINES:
            message = f"more than {limits.NETLIST_LINES} lines: this is no netlist of one board"
            raise UnreadableError((Problem(source.name, message, fatal=True),))
        if text := line.rstrip():
            yield _Record(text[: limits.LINE_CHARS], start, source)
        start += len(line) + 1


def _unit_mm(said: str, before: float) -> float:
    words = said.upper().split()
    if words[:1] == ["CUST"] and len(words) > 1:
        return _MM.get(words[1], before)
    return 0.001 if words[:1] == ["SI"] else before


def _point(record: _Record, before: NetPoint | None, unit_mm: float) -> NetPoint | Problem:
    """Return the point of a record; what a continuation leaves blank is that of the one before."""
    if "\t" in record.text[:58]:
        return record.wrong("net", "a tab stands in the columns", "blanks up to each column")
    if record.field("gap"):
        message = "columns 18 to 20 are not blank: the net's name is longer than its columns"
        return record.wrong("gap", message, "a name of 14 letters, or NNAME1 and its P line")
    continues = record.text[0] == "0"
    if continues and before is None:
        message = "nothing stands before this continuation"
        return record.wrong("code", message, "a record 317, 327 or 367 first")
    reference, net, pin = (record.field(name) for name in ("reference", "net", "pin"))
    if continues and before:
        net = net or before.net
        if not reference:
            reference, pin = before.reference, pin or before.pin
    if not net:
        return record.wrong("net", "there is no net", "its name, or N/C, from column 4 on")
    if not reference or (len(record.text) < 28 and not continues and reference.upper() != "VIA"):
        return record.wrong("reference", "the record ends before its part", "a part or VIA at 21")
    if reference.upper() != "VIA":
        if record.field("dash") not in ("-", ""):
            message = f"{show(record.field('dash'))} stands between part and pin"
            return record.wrong("dash", message, "- in column 27: is the record shifted?")
        if not pin and record.field("dash"):
            return record.wrong("pin", f"{show(reference)} has no pin", "its pin from column 28 on")
    form = _PLACE.match(record.field("place"))
    at_mm = (int(form[1]) * unit_mm, int(form[2]) * unit_mm) if form else None
    return NetPoint(net, reference, pin and pin_name(pin), record.span("net"), at_mm)


def _renamed(
    point: NetPoint, aliases: Mapping[str, str], record: _Record, problems: list[Problem]
) -> NetPoint:
    net = point.net
    if re.fullmatch(r"NNAME\d+", net, re.IGNORECASE):
        net = aliases.get(net.upper(), "")
        if not net:
            message = f"no P line says what {show(point.net)} stands for"
            problems.append(record.wrong("net", message, f"P  {point.net}  its long name"))
    return evolve(point, net=plain(net))


def _on_parts(points: Iterable[NetPoint]) -> Iterator[NetPoint]:
    """Yield the points that are a pin of a part: no vias, no holes without a pin."""
    return (it for it in points if it.pin and it.reference.upper() != "VIA")
