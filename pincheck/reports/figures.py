"""What physics makes of each fitted part, whether a rule has anything to say of it or not."""

from collections.abc import Callable, Iterator, Mapping

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.finding import Result
from pincheck.model.path import Wired
from pincheck.model.printable import printable
from pincheck.model.role import order
from pincheck.reports import derivation, words
from pincheck.reports.figure import FigureLine, line
from pincheck.reports.heater_figures import heater
from pincheck.reports.load_figures import budgets, fan, motor
from pincheck.reports.sensor_figures import sensor
from pincheck.reports.text import wrap

_Figured = Callable[[Case, Wired], Iterator[FigureLine]]

_SECTIONS: Mapping[str, _Figured] = {
    "heater": heater,
    "sensor": sensor,
    "fan": fan,
    "motor": motor,
}


def figured(case: Case) -> tuple[str, ...]:
    """Return the fitted roles that there are figures of, in table order."""
    found = (w.role for w in case.trace.wired if roles.function(w.role) in _SECTIONS)
    wanted = (
        role
        for role in found
        if roles.function(role) != "sensor" or roles.family(role) in roles.ANALOG
    )
    return tuple(sorted(wanted, key=order))


def lines(result: Result, role: str = "", why: bool = False) -> Iterator[str]:
    """Yield the figures of one role, or of all with the supply budget; `why` derives each.

    Cautions close the report.
    """
    case = Case(result.claims, result.trace, result.assembly)
    yield printable(result.machine)
    for name in [role] if role else figured(case):
        wired = case.trace.find(name)
        if wired is None:
            continue
        yield ""
        yield from wrap(f"{name}: {wired.part.title or wired.part.id}")
        yield from _shown(_SECTIONS[roles.function(name)](case, wired), why)
    if not role:
        yield ""
        yield "supply, with everything on"
        yield from _shown(budgets(case), why)
    if cautions := words.cautions(result):
        yield ""
        yield from wrap(" ".join(cautions))


def _shown(rows: Iterator[FigureLine], why: bool) -> Iterator[str]:
    for row in _in_bounds(rows):
        yield from line(row)
        if why:
            for number in row.numbers:
                yield from derivation.number_lines(number)


def _in_bounds(rows: Iterator[FigureLine]) -> Iterator[FigureLine]:
    try:
        yield from rows
    except ValueError as error:  # a figure of the wiring that no formula holds for
        yield FigureLine("not checked", str(error))
