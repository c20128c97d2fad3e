"""How the numbers of a finding came about, for whoever wants to check them by hand."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.model.finding import Finding, Input, Number
from pincheck.reports import words
from pincheck.reports.text import labelled


def lines(finding: Finding) -> Iterator[str]:
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
    yield words.number_text(number)
    if number.formula:
        yield from labelled("formula", number.formula)
    for item in number.inputs:
        value = item.value if isinstance(item.value, str) else words.digits(item.value, 4)
        from_ = f", {item.origin}" if item.origin else ""
        yield from labelled("with", f"{item.name} = {value} {item.unit}".rstrip() + from_)
    if number.source:
        yield from labelled("source", number.source)
