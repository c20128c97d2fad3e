"""The firmware's own tables of thermistors, `thermistor_N.h`, where they were handed over.

How they are written and looked up is from memory: counts of a converter of ten bits, times the
readings that are added up, rise; the temperature between two of them is on a straight line; and
beyond an end it is that of the end.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import prod
from posixpath import basename

from pincheck.model import limits
from pincheck.model.printable import cut, printable
from pincheck.model.problem import Problem
from pincheck.model.reading import SensorTable
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source

_FILE = re.compile(r"thermistor_(\d{1,5})\.h", re.IGNORECASE)
_SELECTS = re.compile(r"TEMP_SENSOR_\w+")
_FIGURES = "1000"
"""Selects figures in the main header, no table (from memory)."""

_STEPS, _READINGS = 1024, 16
"""Steps of the tables' converter, and readings added up, in whole numbers (from memory)."""

_COMMENT = re.compile(r'/\*.*?\*/|//[^\n]*+|"[^"\n]*+"', re.DOTALL)
_ARRAY = re.compile(r"\btemptable_(\w++)\s*+((?:\[[^\]{};]*+\]\s*+)++)([^={};]*+)=\s*+\{")
_DIRECTIVE = re.compile(r"^[ \t]*+#[ \t]*+(\w++)[ \t]*+([^\n]*+)", re.MULTILINE)
_HARMLESS = ("pragma", "include", "error", "warning")
_REDEFINED = re.compile(r"(?:OV|OV_SCALE|OVERSAMPLENR)\b")
_ENTRY = re.compile(r"\s*+\{([^{},;#]*+),([^{},;#]*+)\}\s*+(,?+)")
_REST = re.compile(r"\S[^\n]{0,40}")
_SCALED = re.compile(r"(?:OV|OV_SCALE)\s*+\(([^()]*+)\)|([^()]*+)|\(([^()]*+)\)")
_INTEGER = re.compile(r"(?:0x[0-9a-f]++|\d++)[ul]*+", re.IGNORECASE)
_DECIMAL = re.compile(r"(?:\d++\.\d*+|\.\d++)[fl]?+", re.IGNORECASE)
_DEGREES = re.compile(r"([-+]?+)\s*+(\w++)|\(\s*+([-+]?+)\s*+(\w++)\s*+\)")

_OHM = r"(\d++(?:\.\d++)?+)\s*+(k?)(\d?+)\s*+(?:ohms?\b|\u03a9|\u2126)?+"
_PULLUP = re.compile(
    rf"{_OHM}[ \t-]*+pull[- ]?up|pull[- ]?up(?: resistor)?(?: is| of)?[ \t:=]*+{_OHM}",
    re.IGNORECASE,
)

_SHAPE = "{ OV(23), 300 }"


class _Wrong(Exception):  # noqa: N818
    """What is wrong with a table, and where it begins in the text."""

    def __init__(self, at: int, message: str, expected: str = "") -> None:
        super().__init__(message)
        self.at, self.message, self.expected = at, message, expected


def tables(
    settings: Iterable[Setting], sources: Sequence[Source]
) -> tuple[Mapping[str, SensorTable], tuple[Problem, ...]]:
    """Return the tables that the settings may select, by number, and what is wrong with them."""
    files: dict[str, list[Source]] = {}
    for source in sources:
        if match := _FILE.fullmatch(basename(source.name)):
            files.setdefault(str(int(match[1])), []).append(source)
    if not files:
        return {}, ()
    wanted = {
        str(setting.value if setting.resolved is None else setting.resolved).strip()
        for setting in settings
        if setting.activity in (Activity.ACTIVE, Activity.POSSIBLE)
        and _SELECTS.fullmatch(setting.key)
    }
    found = {n: _one_of(n, files[n]) for n in sorted(wanted & files.keys() - {_FIGURES, "0"})}
    problems = tuple(problem for _, problem in found.values() if problem)
    return {number: table for number, (table, _) in found.items()}, problems


def _one_of(number: str, files: Sequence[Source]) -> tuple[SensorTable, Problem | None]:
    first = files[0]
    unread = next((file for file in files if file.unread), None)
    other = next((file for file in files if file.text != first.text), None)
    if unread:
        problem = Problem(unread.name, f"was not read: {unread.unread}")
    elif other:
        message = f"{cut(other.name, 120)} gives table {number}, too, and otherwise"
        problem = Problem(first.name, message, expected="one table of a number")
    else:
        try:
            return _read(number, first), None
        except _Wrong as wrong:
            span = first.span(wrong.at, wrong.at)
            text = first.line(span.line)[: limits.PROBLEM_CHARS]
            problem = Problem(first.name, wrong.message, span, text, wrong.expected)
    return SensorTable(problem.file, problem.span, unknown=str(problem)), problem


def _read(number: str, source: Source) -> SensorTable:
    """Return the one table of a file.

    Raises:
        _Wrong: the file holds something else, or more than the table says alone.
    """
    code = _COMMENT.sub(_blank, source.text)
    if (open_at := code.find("/*")) >= 0:
        raise _Wrong(open_at, "this comment does not end", "*/")
    arrays = [match for match in _ARRAY.finditer(code) if match[1].lstrip("0") == number]
    if not arrays:
        message = f"there is no table temptable_{number} in it"
        raise _Wrong(0, message, f"const ... temptable_{number}[] = {{ {_SHAPE}, ... }}")
    if len(arrays) > 1:
        raise _Wrong(arrays[1].start(), f"temptable_{number} is here a second time", "one table")
    array = arrays[0]
    rows = tuple(_rows(code, array.end()))
    _refuse_conditions(code)
    if len({at_c for _, at_c in rows}) < 2:
        raise _Wrong(array.start(), "the table has no two temperatures", "two entries or more")
    return SensorTable(source.name, source.span(*array.span(1)), rows, _pullup_ohm(source.text))


def _blank(match: re.Match[str]) -> str:
    """Return as many blanks and line feeds in the place of a comment; a text stays."""
    return match[0] if match[0][0] == '"' else re.sub(r"[^\n]", " ", match[0])


def _refuse_conditions(code: str) -> None:
    """Raise where another directive than the guard of the whole file bears on the table."""
    found = [match for match in _DIRECTIVE.finditer(code) if match[1] not in _HARMLESS]
    words = [match[1] for match in found]
    if words[:2] == ["ifndef", "define"] and words[-1] == "endif":
        guard, mark = found[0][2].strip(), found[1][2].strip()
        found = found[1:-1] if guard and guard == mark else found
    for match in found:
        if match[1] not in ("define", "undef"):
            raise _Wrong(match.start(), "what this condition leaves of the table is not worked out")
        if _REDEFINED.match(match[2]):
            raise _Wrong(match.start(), "the file says itself how its counts are meant")


def _rows(code: str, at: int) -> Iterator[tuple[float, float]]:
    """Yield share of full scale and temperature of each entry.

    Raises:
        _Wrong: something is no entry, or the counts do not rise, or the temperatures turn.
    """
    before: tuple[float, float] | None = None
    way, more = 0, True
    for count in range(limits.TABLE_ENTRIES + 1):
        entry = _ENTRY.match(code, at)
        if entry is None or not more:
            break
        if count == limits.TABLE_ENTRIES:
            raise _Wrong(entry.start(1), f"more than {limits.TABLE_ENTRIES} entries")
        share, at_c = _share(entry[1], entry.start(1)), _degrees(entry[2], entry.start(2))
        if before and share <= before[0]:
            message = (
                f"{_said(entry[1])} does not follow a lower count: the firmware looks counts up"
            )
            raise _Wrong(entry.start(1), message, "counts that rise")
        if before and at_c != before[1]:
            turn = 1 if at_c > before[1] else -1
            if way not in (0, turn):
                raise _Wrong(entry.start(2), "the temperatures turn here", "one way, up or down")
            way = turn
        before = share, at_c
        yield before
        at, more = entry.end(), bool(entry[3])
    rest = _REST.search(code, at)
    if rest is None or "}" not in code[at:]:
        raise _Wrong(len(code), "the file ends within the table", "};")
    if rest[0][0] != "}":
        raise _Wrong(rest.start(), f"{_said(rest[0])} is no entry", _SHAPE)


def _share(text: str, at: int) -> float:
    """Return the share of full scale that a count stands for."""
    match = _SCALED.fullmatch(text.strip())
    scaled, plain = (match[1], match[2] or match[3]) if match else (None, None)
    factors = [factor.strip() for factor in (scaled or plain or "").split("*")]
    if scaled is None:
        if "OVERSAMPLENR" not in factors:
            message = f"{_said(text)} says no count: how many readings are added up is not in it"
            raise _Wrong(at, message, "OV(23) or 23 * OVERSAMPLENR")
        factors.remove("OVERSAMPLENR")
    numbers = [_number(factor) for factor in factors]
    if None in numbers or not numbers:
        raise _Wrong(at, f"{_said(text)} is not worked out", "OV(23) or 23 * OVERSAMPLENR")
    counts = prod(number for number in numbers if number is not None)
    if not 0 <= counts < _STEPS:
        raise _Wrong(at, f"{_said(text)} is no reading of ten bits", f"0 to {_STEPS - 1}")
    return int(counts * _READINGS) / _READINGS / _STEPS


def _degrees(text: str, at: int) -> float:
    match = _DEGREES.fullmatch(text.strip())
    sign, digits = (match[1] or match[3], match[2] or match[4]) if match else ("", "")
    number = _number(digits)
    if number is None:
        raise _Wrong(at, f"{_said(text)} is no temperature in whole degrees", "300 or -15")
    if number > _HIGHEST_C:
        raise _Wrong(at, f"{_said(text)} C is no temperature of a table", f"up to {_HIGHEST_C} C")
    return -number if sign == "-" else number


_HIGHEST_C = 2000
"""Tables end in fitted values of up to 1,000 C (the style's public ones), tungsten goes on."""


def _number(text: str) -> float | None:
    """Return a number as C writes it, a leading 0 being octal; None where it is none."""
    if len(text) > limits.TABLE_NUMBER_CHARS:
        return None
    if _DECIMAL.fullmatch(text):
        return float(text.rstrip("fFlL"))
    if not _INTEGER.fullmatch(text):
        return None
    digits = text.rstrip("uUlL").lower()
    if digits.startswith("0x"):
        return float(int(digits, 16))
    try:
        return float(int(digits, 8 if digits.startswith("0") else 10))
    except ValueError:
        return None


def _pullup_ohm(text: str) -> float | None:
    """Return the pull-up that the comments give, None where they give none or several."""
    comments = " ".join(match[0] for match in _COMMENT.finditer(text) if match[0][0] == "/")
    found = set()
    for match in _PULLUP.finditer(comments[: limits.TABLE_COMMENT_CHARS]):
        whole, kilo, tenths = (match[group] or match[group + 3] or "" for group in (1, 2, 3))
        decimal = f"{whole}.{tenths}" if kilo and tenths and "." not in whole else whole
        found.add(float(decimal[:12]) * (1000.0 if kilo else 1.0))
    only = found.pop() if len(found) == 1 else 0.0
    low_ohm, high_ohm = _PULLUPS_OHM
    return only if low_ohm <= only <= high_ohm else None


_PULLUPS_OHM = 100.0, 1e6
"""Pull-ups of sensors (`common practice`); other numbers before the word are none."""


def _said(text: str) -> str:
    return f"'{cut(printable(text.strip()), 60)}'"
