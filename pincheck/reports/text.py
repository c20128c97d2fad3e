"""A result as plain text for a person, 80 columns wide, with or without colour."""

import textwrap
from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from posixpath import basename

from pincheck.analysis.stamp import origins
from pincheck.model.attribute import COLUMNS
from pincheck.model.finding import Finding, Proposal, Result, Severity
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.problem import Problem
from pincheck.model.reading import NotSent
from pincheck.model.threshold import Threshold
from pincheck.reports import sentences

WIDTH = 80
_SHORTEST_ROLE, _LONGEST_ROLE = 15, 18
"""Characters of the table's first column; with more the table is wider than a terminal."""
_ANSI = {"bold": "1", "red": "1;31", "yellow": "33", "green": "32", "dim": "2"}
_PAINT = {Severity.DANGER: "red", Severity.FAULT: "yellow", Severity.ADVICE: "bold"}


@frozen
class Ink:
    """Writes colour where it is wanted, nothing where not."""

    colour: bool = False

    def __call__(self, text: str, name: str) -> str:
        """Return `text` in the colour `name`."""
        return f"\x1b[{_ANSI[name]}m{text}\x1b[0m" if self.colour and text else text


def text(
    result: Result, proposals: Iterable[Proposal] = (), ink: Ink | None = None, reason: str = ""
) -> Iterator[str]:
    """Yield the lines of the report; `reason` says how the configuration was recognised."""
    ink = ink or Ink()
    yield ink(printable(result.machine), "bold")
    if reason:
        yield from wrap(reason)
    for origin in origins(result):
        yield from wrap(origin)
    yield ""
    worst = max((finding.severity for finding in result.findings), default=None)
    yield ink(sentences.headline(result), _PAINT[worst] if worst else "bold")
    if slip := sentences.slip(result):
        yield from ("", *(ink(line, "bold") for line in wrap(slip)))
    yield from findings_lines(enumerate(result.findings, 1), proposals, ink)
    yield ""
    yield from table(result, ink)
    yield sentences.tally(result)
    if unchecked := tuple(unchecked_lines(result)):
        yield from ("", "Not checked:", *unchecked)
    yield from reading_lines(result)
    if result.plug_danger:
        yield from ("", *wrap(result.plug_danger))
    if cautions := sentences.cautions(result):
        yield ""
        yield from wrap(" ".join(cautions))


def reading_lines(result: Result) -> Iterator[str]:
    """Yield what was not sent, not used or not understood of the files; nothing where all was."""
    if lacking := tuple(missing(result)):
        yield from ("", "Asked for but not sent:")
        for line in lacking:
            yield from wrap(line, "  ")
    if aside := sentences.set_aside(result):
        yield from ("", *wrap(aside))
    if result.problems:
        yield from ("", "Trouble reading the files:")
        for problem in result.problems:
            yield from problem_lines(problem)


def findings_lines(
    numbered: Iterable[tuple[int, Finding]],
    proposals: Iterable[Proposal] = (),
    ink: Ink | None = None,
) -> Iterator[str]:
    """Yield each finding under the moment at which it strikes, a blank line before each."""
    ink = ink or Ink()
    by_finding = {id(proposal.finding): proposal for proposal in proposals}
    for heading, of in sentences.by_moment(numbered):
        yield from ("", ink(heading, "bold"))
        for number, finding in of:
            yield ""
            yield from finding_lines(finding, number, by_finding.get(id(finding)), ink)


def finding_lines(
    finding: Finding, number: int, proposal: Proposal | None = None, ink: Ink | None = None
) -> Iterator[str]:
    """Yield one finding: what happens, both ends of the contradiction, the edit."""
    ink = ink or Ink()
    mark = f"{sentences.MARKS[finding.severity]} {finding.severity.word}"
    roles = ", ".join(finding.roles)
    yield f"{number}. {ink(mark, _PAINT[finding.severity])}  {roles}  ({finding.rule})"
    yield from wrap(finding.message, "   ")
    for text in dict.fromkeys(map(sentences.firmware_line, finding.claims)):
        yield from labelled("firmware", text)
    if caveats := sentences.caveats(finding):
        yield from labelled("but", caveats)
    for fact in finding.facts:
        yield from labelled("wiring", fact.path.line() if fact.path else fact.value)
    if finding.numbers:
        yield from labelled("numbers", "; ".join(map(sentences.number_text, finding.numbers)))
    for effect in finding.effects:
        yield from labelled("so", f"{effect.message} ({effect.rule})")
    if finding.advice:
        yield from labelled("do", finding.advice)
    if proposal and proposal.edits:
        yield from labelled("edit" if proposal.safe else "edit (!)", proposal.note)
    elif proposal and proposal.blocked != finding.advice:
        yield from labelled("no edit", proposal.blocked)


def table(result: Result, ink: Ink | None = None) -> Iterator[str]:
    """Yield the verdict table: a line a role, a column a group of attributes."""
    ink = ink or Ink()
    width = min(max(map(len, result.roles()), default=0), _LONGEST_ROLE)
    width = max(width, _SHORTEST_ROLE)
    yield ink("".join(("role".ljust(width + 1), *map(_head, COLUMNS))).rstrip(), "dim")
    for role in result.roles():
        found = sentences.cells(result, role)
        row = []
        for column in COLUMNS:
            word = sentences.cell(found.get(column, ()))
            colour = {"DANGER": "red", "FAULT": "yellow", "agrees": "green"}.get(word, "bold")
            row.append(ink(word, colour) + " " * (len(_head(column)) - len(word)))
        yield (role[:width].ljust(width + 1) + "".join(row)).rstrip()
    if any(verdict.so_far for verdict in result.verdicts):
        yield ink("so far = agrees, if a file that was not sent says nothing else", "dim")
    yield ink("? = not checked, blank = neither side says anything", "dim")


def _head(column: str) -> str:
    return column.ljust(6) + " "


def problem_lines(problem: Problem) -> Iterator[str]:
    """Yield one problem with the line it is about and a mark under the place."""
    yield from wrap(printable(str(problem)), "  ")
    if problem.span and problem.text:
        start = max(0, problem.span.column - 50)
        shown = printable(problem.text[start : start + 72])
        before = printable(problem.text[start : problem.span.column - 1])
        width = max(1, min(problem.span.end - problem.span.start, len(shown) - len(before)))
        yield f"    {shown}"
        yield f"    {' ' * len(before)}{'^' * width}"


def wrap(sentence: str, indent: str = "") -> Iterator[str]:
    """Yield a sentence wrapped to the width."""
    yield from textwrap.wrap(
        printable(sentence),
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent,
        break_on_hyphens=False,
    )


def labelled(label: str, sentence: str) -> Iterator[str]:
    """Yield a sentence wrapped beside a label."""
    yield from textwrap.wrap(
        printable(sentence),
        WIDTH,
        initial_indent=f"   {label:<9} ",
        subsequent_indent=" " * 13,
        break_on_hyphens=False,
    )


def threshold_lines(lead: str, at: Threshold) -> Iterator[str]:
    """Yield a figure at which a rule turns, its source, and what follows on either side."""
    yield f"  {lead}: {at.words}, {at.said}"
    yield from labelled("source", at.source)
    yield from labelled("below", at.below)
    yield from labelled("above", at.above)


def unchecked_lines(result: Result) -> Iterator[str]:
    """Yield what was not checked by reason, nothing where all of it was."""
    by_reason: dict[str, list[str]] = {}
    for verdict in result.verdicts:
        if verdict.state == "not checked":
            spot = f"{verdict.role} {verdict.attribute}"
            by_reason.setdefault(verdict.reason, []).append(spot)
    for reason, spots in by_reason.items():
        yield from textwrap.wrap(
            printable(f"{', '.join(spots)}: {reason}"),
            WIDTH,
            initial_indent="  ? ",
            subsequent_indent="    ",
            break_on_hyphens=False,
        )


_ALIKE = 0.75


def missing(result: Result) -> Iterator[str]:
    """Yield each missing file once: where it is asked for, and which idle file is called so alike
    that the name may be misspelt. Files set aside for their names are left out."""
    reading, claims = result.reading, result.claims
    used = {setting.source.name for setting in reading.settings}
    names = (*(source.name for source in reading.sources), *reading.unused)
    idle = {basename(name): name for name in names if name not in used}
    told: dict[str, NotSent] = {}
    for it in claims.not_sent:
        if it not in claims.apart:
            told.setdefault(it.name, it)
    for name, it in told.items():
        asked = f"{it.asked_by.span.source}:{it.asked_by.span.line}: " if it.asked_by else ""
        if it.why:
            yield f"{asked}{name} was not read: {it.why}"
            continue
        near = get_close_matches(basename(name), idle, 1, _ALIKE)
        hint = f"; {idle[near[0]]} is there and nothing asks for it: is that meant?" if near else ""
        yield f"{asked}{name}{hint}"
