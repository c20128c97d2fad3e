"""One line of figures, and how its numbers, or those of a finding, came about."""

import textwrap
from collections.abc import Iterable, Iterator

from attrs import evolve, field

from pincheck.analysis.case import Case
from pincheck.analysis.currents import Strain, ways
from pincheck.model.finding import Finding, Input, Number
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.printable import printable
from pincheck.reports import sentences
from pincheck.reports.text import WIDTH, labelled

_LABEL = 30


def _tuple(numbers: Iterable[Number]) -> tuple[Number, ...]:
    return tuple(numbers)


@frozen
class FigureLine:
    """A label and what is to be said of it; `numbers` derive every figure in `text`."""

    label: str
    text: str
    numbers: tuple[Number, ...] = field(default=(), converter=_tuple)


def line(row: FigureLine) -> Iterator[str]:
    """Yield a line of figures, wrapped beside its label."""
    lead = f"  {printable(row.label):<{_LABEL}} "
    indent = " " * (_LABEL + 3)
    if len(lead) > len(indent):
        yield from textwrap.wrap(lead, WIDTH, subsequent_indent="    ")
        lead = indent
    yield from textwrap.wrap(
        printable(row.text),
        WIDTH,
        initial_indent=lead,
        subsequent_indent=indent,
        break_on_hyphens=False,
    )


def ratings(case: Case, wired: Wired) -> Iterator[FigureLine]:
    """Yield each thing on the way of a part, out and back, with all that flows through it."""
    for way in ways(case, wired):
        others = [w.role for w, _ in way.users if w.role != wired.role]
        note = f", with {', '.join(others)}" if others else ""
        unknown = ", ".join(way.unknown)
        note += f"; nobody gives the current of {unknown}" if unknown else ""
        worst = way.most_a / way.strain.may_a
        if worst > 1 >= way.total.nominal / way.strain.may_a:
            note += f"; {worst:.0%} at worst, by what is only assumed"
        yield against(way.strain, way.total.nominal, way.inputs(), note)


def against(
    strain: Strain, current_a: float, given: tuple[Input, ...], note: str = ""
) -> FigureLine:
    """Return a current beside what one thing on its way may carry."""
    share, may = current_a / strain.may_a, sentences.digits(strain.may_a, 3)
    return FigureLine(
        strain.what,
        f"may carry {may} A: {share:.0%} of it used{', TOO MUCH' * (share > 1)}{note}",
        (
            strain.number,
            Number("share used", 100 * share, "%", "current / allowed", given, "common practice"),
        ),
    )


def derivation(finding: Finding) -> Iterator[str]:
    """Yield each number with its formula, its inputs and their origins, and its source.

    What the numbers have in common is said once.
    """
    if not finding.numbers:
        yield "This finding rests on no computed number."
    told: set[Input | str] = set()
    for number in finding.numbers:
        new = tuple(item for item in number.inputs if item not in told)
        source = "" if number.source in told else number.source
        formula = "" if number.formula in told else number.formula
        yield from number_lines(evolve(number, inputs=new, source=source, formula=formula))
        if len(new) < len(number.inputs):
            yield from labelled("with", "what is said above")
        told |= {*number.inputs, number.source, number.formula}


def number_lines(number: Number) -> Iterator[str]:
    """Yield one number, then its formula, inputs and source."""
    yield sentences.number_text(number)
    if number.formula:
        yield from labelled("formula", number.formula)
    for item in number.inputs:
        value = item.value if isinstance(item.value, str) else sentences.digits(item.value, 4)
        from_ = f", {item.origin}" if item.origin else ""
        yield from labelled("with", f"{item.name} = {value} {item.unit}".rstrip() + from_)
    if number.source:
        yield from labelled("source", number.source)
