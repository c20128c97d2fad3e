"""How the numbers of a finding came about, for whoever wants to check them by hand."""

from collections.abc import Iterator

from pincheck.model.finding import Finding, Number
from pincheck.reports import words
from pincheck.reports.text import labelled


def lines(finding: Finding) -> Iterator[str]:
    """Yield each number with its formula, its inputs and their origins, and its source."""
    if not finding.numbers:
        yield "This finding rests on no computed number."
    for number in finding.numbers:
        yield from number_lines(number)


def number_lines(number: Number) -> Iterator[str]:
    """Yield one number, then its formula, inputs and source."""
    yield words.number_text(number)
    if number.formula:
        yield from labelled("formula", number.formula)
    for item in number.inputs:
        value = item.value if isinstance(item.value, str) else f"{item.value:g}"
        from_ = f", {item.origin}" if item.origin else ""
        yield from labelled("with", f"{item.name} = {value} {item.unit}".rstrip() + from_)
    if number.source:
        yield from labelled("source", number.source)
