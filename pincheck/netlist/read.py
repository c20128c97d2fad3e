"""A netlist's file, of whatever form, and a parts list."""

import re
from collections.abc import Iterator
from pathlib import Path

from pincheck.columns import rows
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.source import Source, Span
from pincheck.netlist import ipc_d_356
from pincheck.netlist.points import Netlist, NetPoint, netlist, pin_name, plain
from pincheck.toml.table import show
from pincheck.wiring import folder

_REFERENCE = ("reference", "ref", "refdes", "references", "designator", "component", "part")
_NETLIST = {
    "net": ("net", "net name", "netname", "signal"),
    "reference": _REFERENCE,
    "pin": ("pin", "pad", "pin number", "number", "node"),
}
_PARTS = {"reference": _REFERENCE, "value": ("value", "val", "resistance", "comment")}

_OHM = re.compile(
    r"(\d{0,7})(?:[.,](\d{1,6}))?\s*(?:(meg|[mkKMRrE])(\d{1,6})?)?\s*(?:ohms?|[\u2126\u03a9])?"
    r"(?:[\s,;/]+(?:\+/-|\u00b1)?(?:\d[\d.,]*\s*%|\d[\d./]*\s*m?W|0201|0402|0603|0805|1206|1210|2512))*",
    re.IGNORECASE,
)
"""`4k7`, `4.7k 1%`, `4700`, `10R 0805`, `0R1`, `1M 1/8W`: IEC 60062 and common practice."""

_FACTOR = {"m": 1e-3, "k": 1e3, "M": 1e6, "meg": 1e6}
_NOT_FITTED = re.compile(r"(?:.*\W)?(?:DNP|DNF|DNI|NF|NC|not fitted)(?:\W.*)?", re.IGNORECASE)
_RANGE = re.compile(r"([A-Za-z]{1,6})(\d{1,5})\s*-\s*(?:([A-Za-z]{1,6}))?(\d{1,5})")
_TOLERANCE = re.compile(r"(\d{1,2}(?:[.,]\d{1,3})?)\s*%")


@frozen
class ListedResistor:
    """A resistor of the parts list; `ohm` is None for one that is not fitted."""

    reference: str
    ohm: float | None
    text: str
    span: Span
    tolerance_pct: float | None = None


def read_netlist(file: Path) -> Netlist:
    """Return the netlist of a file in IPC-D-356, or a table of net, reference and pin.

    Raises:
        UnreadableError: it cannot be read as a whole; with every mistake up to a bound.
    """
    source = folder.read(file, file.name, limits.NETLIST_BYTES, "netlist")
    return netlist_of(source)


def netlist_of(source: Source) -> Netlist:
    """Return the netlist of a text; as `read_netlist`."""
    if ipc_d_356.is_ipc_d_356(source):
        return ipc_d_356.read(source)
    points = []
    for row in rows(source, _NETLIST):
        reference, pin = row.text("reference"), row.text("pin")
        if not pin and "-" in reference:  # J1-3 in one cell
            reference, _, pin = reference.rpartition("-")
        if not reference or not pin:
            lacks = "reference" if not reference else "pin"
            message = f"this line has no {lacks}"
            line = source.line(row.span.line)
            problem = Problem(source.name, message, row.place(lacks), line, "all three", fatal=True)
            raise UnreadableError((problem,))
        points.append(NetPoint(plain(row.text("net")), reference, pin_name(pin), row.place("net")))
    return netlist(source, points)


def read_parts(file: Path) -> dict[str, ListedResistor]:
    """Return the resistors of a parts list by reference.

    Raises:
        UnreadableError: it has no such columns, or a resistor's value is no resistance.
    """
    return resistors_of(folder.read(file, file.name, limits.TABLE_BYTES, "parts list"))


def resistors_of(source: Source) -> dict[str, ListedResistor]:
    """Return the resistors of a text; as `read_parts`."""
    found: dict[str, ListedResistor] = {}
    problems = []
    for row in rows(source, _PARTS):
        text = row.text("value")
        for reference in _references(row.text("reference")):
            if not re.fullmatch(r"R[A-Z]?\d+", reference, re.IGNORECASE):
                continue
            ohm = None if _NOT_FITTED.fullmatch(text) else ohm_of(text)
            span, line = row.place("value"), source.line(row.span.line)
            if ohm is None and not _NOT_FITTED.fullmatch(text):
                message = f"{show(text)} of {reference} is no resistance"
                expected = "a value such as 4k7, 4.7k, 100R or DNP"
                problems.append(Problem(source.name, message, span, line, expected, fatal=True))
                continue
            tolerance = _TOLERANCE.search(text)
            pct = float(tolerance[1].replace(",", ".")) if tolerance else None
            made = ListedResistor(reference, ohm, text, span, pct)
            if found.setdefault(reference, made).ohm != ohm:
                message = f"{reference} is {show(found[reference].text)} in line "
                message += f"{found[reference].span.line} already"
                problems.append(Problem(source.name, message, span, line, "one value", fatal=True))
    if problems:
        raise UnreadableError(tuple(problems[: limits.WIRING_PROBLEMS]))
    return found


def ohm_of(text: str) -> float | None:
    """Return the resistance that a parts list writes, None where it writes none."""
    form = _OHM.fullmatch(text.strip())
    if form is None:
        return None
    whole, fraction, letter, behind = form.groups()
    if (fraction and behind) or not (whole or behind):
        return None
    factor = _FACTOR.get((letter or "").lower() if letter != "M" else "M", 1.0)
    return float(f"{whole or 0}.{fraction or behind or 0}") * factor


def _references(cell: str) -> Iterator[str]:
    """Yield the references of one cell: `R1`, `R1, R2`, `R1 R2`, `R3-R6`."""
    for form in _RANGE.finditer(cell):
        first, last = int(form[2]), int(form[4])
        for number in range(first, min(last, first + 1000) + 1):
            yield f"{form[1]}{number}"
    yield from re.findall(r"[A-Za-z]+\d+\w?", _RANGE.sub(" ", cell))
