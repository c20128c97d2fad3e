"""The page of one finding: what would happen, both ends of it, the numbers, the edit, the rule."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from pincheck.edits.patch import OverlapError, diff, patched
from pincheck.model.claim import Claim, PinValue
from pincheck.model.edit import Proposal
from pincheck.model.finding import Finding, Number, Result
from pincheck.model.path import Path
from pincheck.model.printable import printable
from pincheck.model.setting import Setting
from pincheck.model.source import Source, Span
from pincheck.reports import charts, words
from pincheck.reports.glyphs import Glyphs
from pincheck.rules.registry import rule_named
from pincheck.screen.chart_page import plot_lines
from pincheck.screen.first_look import SEVERITY_TONES
from pincheck.screen.page import Line, Piece, Tone, text
from pincheck.screen.write_up import heading, labelled, paragraph

CURVE_LINES = 14
"""Height of a plot among the lines of a finding."""

AROUND = 2
"""Lines shown before and after the firmware's line."""


def finding_lines(
    result: Result,
    finding: Finding,
    proposal: Proposal | None,
    width: int,
    glyphs: Glyphs,
) -> Iterator[Line]:
    """Yield the page of one finding."""
    mark = f" {words.MARKS[finding.severity]} {finding.severity.word.upper()}"
    spots = ", ".join(f"{role} {attribute}" for role, attribute in finding.spots)
    yield (Piece(mark, SEVERITY_TONES[finding.severity]), Piece(f"  {spots}", "strong"))
    yield from paragraph(finding.message, width)
    if finding.advice:
        yield from paragraph(finding.advice, width, tone="strong")
    yield from heading("What the firmware says")
    if not finding.claims:
        yield from paragraph("nothing: no line of the files speaks of it", width)
    yield from claims_lines(finding.claims, width, glyphs)
    yield from heading("What the wiring does")
    yield from _wiring(result, finding, width, glyphs)
    if finding.numbers:
        yield from heading("Numbers")
        for number in finding.numbers:
            yield from number_lines(number, width)
    for chart in charts.of_finding(result, finding):
        yield from heading(f"Curve: {chart.title}")
        yield from plot_lines(chart, min(width, 78), CURVE_LINES, glyphs)
    yield from heading("Suggested edit")
    yield from proposal_lines(result, proposal, width)
    yield from heading(f"Rule {finding.rule}")
    rule = rule_named(finding.rule)
    yield from paragraph(rule.reason if rule else "no reason is on file", width)
    if rule:
        yield from labelled("source", rule.source, width)


def claims_lines(claims: Iterable[Claim], width: int, glyphs: Glyphs) -> Iterator[Line]:
    """Yield the firmware's lines with the lines around them, a mark under each value.

    Lines of one file that lie close together are shown as one piece of it.
    """
    settings: dict[str, list[Setting]] = {}
    for claim in claims:
        if claim.setting is None:
            yield from labelled("default", words.firmware_line(claim), width)
        else:
            settings.setdefault(claim.setting.source.name, []).append(claim.setting)
        if claim.doubt:
            yield from labelled("not sure", claim.doubt, width)
    for of_file in settings.values():
        yield from _excerpts(of_file, width, glyphs)


def _excerpts(settings: list[Setting], width: int, glyphs: Glyphs) -> Iterator[Line]:
    source = settings[0].source
    values = {setting.span.line: setting.value_span for setting in settings}
    shown = {
        number
        for line in values
        for number in range(line - AROUND, line + AROUND + 1)
        if 1 <= number <= source.line_count
    }
    named = ", ".join(map(str, sorted(values)))
    lines = "lines" if len(values) > 1 else "line"
    yield text(f" {printable(source.name)}, {lines} {named}", "strong")
    digits, last = len(str(max(shown))), 0
    for number in sorted(shown):
        if last and number > last + 1:
            yield text(f" {'..':>{digits + 1}} {glyphs.down}", "dim")
        yield from _source_line(source, number, values.get(number), digits, width, glyphs)
        last = number


def _source_line(
    source: Source, number: int, value: Span | None, digits: int, width: int, glyphs: Glyphs
) -> Iterator[Line]:
    before, shown = _cut(source.line(number), value.column if value else 1, width)
    gutter = f" {'>' if value else ' '}{number:>{digits}} {glyphs.down} "
    yield (Piece(gutter, "dim"), Piece(shown, "strong" if value else ""))
    if value and value.line == number and value.end > value.start:
        marks = "^" * max(1, min(value.end - value.start, len(shown) - before))
        blank = f" {' ':>{digits + 1}} {glyphs.down} "
        yield (Piece(blank, "dim"), Piece(" " * before + marks, "fault"))


def _cut(line: str, column: int, width: int) -> tuple[int, str]:
    """Return where `column` lands in the shown part of a line, and that part."""
    room = max(width - 12, 20)
    start = max(0, column - 1 - room // 2) if len(line) > room else 0
    return len(printable(line[start : column - 1])), printable(line[start : start + room])[:room]


def chain(path: Path, width: int, glyphs: Glyphs, tone: Tone = "") -> Iterator[Line]:
    """Yield a path from chip pin to part, a hop a line."""
    for number, hop in enumerate(path.hops):
        ends = number in (0, len(path.hops) - 1)
        mark = glyphs.start if number == 0 else glyphs.end if ends else glyphs.link
        rest = textwrap.wrap(printable(hop.text), max(width - 16, 12)) or [""]
        for row, part in enumerate(rest):
            link = mark if row == 0 else " " if number == len(path.hops) - 1 else glyphs.link
            kind = hop.kind if row == 0 else ""
            yield (Piece(f"  {link} {kind:<10}", "dim"), Piece(part, "strong" if ends else tone))


def _wiring(result: Result, finding: Finding, width: int, glyphs: Glyphs) -> Iterator[Line]:
    drawn = set()
    for fact in finding.facts:
        yield from labelled(f"{fact.attribute}"[:9], f"{fact.role}: {fact.value}", width)
        if fact.path and fact.path.line() not in drawn:
            drawn.add(fact.path.line())
            yield from chain(fact.path, width, glyphs)
        if fact.at:
            yield from labelled("stated in", f"{fact.at.source}, line {fact.at.line}", width, "dim")
    if not drawn and (wired := result.trace.find(finding.role)) and wired.path.hops:
        drawn.add(wired.path.line())
        yield from chain(wired.path, width, glyphs)
    if not drawn and not finding.facts:
        yield from paragraph("nothing is fitted for it", width)
    for claim in finding.claims:
        yield from _named_pin(result, claim, drawn, width, glyphs)


def _named_pin(
    result: Result, claim: Claim, drawn: set[str], width: int, glyphs: Glyphs
) -> Iterator[Line]:
    """Yield where the pin that the firmware names really leads, unless that is drawn already."""
    if not isinstance(claim.value, PinValue) or claim.value.place is None:
        return
    place, board = claim.value.place, result.assembly.boards.get(claim.value.place.board)
    reached = result.trace.at(place)
    if any(wired.role == claim.role for wired in reached):
        return
    named = f"{place.pin} of {board.title}" if board else str(place)
    if not reached:
        yield from paragraph(f"{named}, which the firmware names, reaches nothing fitted.", width)
    for wired in reached:
        said = f"{named}, which the firmware names for {claim.role}, leads to {wired.role}."
        yield from paragraph(said, width)
        if wired.path.line() not in drawn:
            drawn.add(wired.path.line())
            yield from chain(wired.path, width, glyphs)


def number_lines(number: Number, width: int) -> Iterator[Line]:
    """Yield a figure, its formula, its inputs and where each came from."""
    yield text(f" {printable(words.number_text(number))}", "strong")
    if number.formula:
        yield from labelled("formula", number.formula, width)
    for item in number.inputs:
        value = item.value if isinstance(item.value, str) else f"{item.value:g}"
        from_ = f", {item.origin}" if item.origin else ""
        yield from labelled("with", f"{item.name} = {value} {item.unit}".rstrip() + from_, width)
    if number.source:
        yield from labelled("source", number.source, width)


def proposal_lines(result: Result, proposal: Proposal | None, width: int) -> Iterator[Line]:
    """Yield what an edit does and its diff, or why there is none."""
    if proposal is None or not (proposal.edits or proposal.blocked):
        yield from paragraph("none: this is not for the configuration to mend", width)
        return
    if proposal.blocked:
        yield from paragraph(f"none: {proposal.blocked}", width)
    if not proposal.edits:
        return
    if not proposal.safe:
        yield from paragraph("Think first: this weakens a protection.", width, tone="danger")
    yield from paragraph(proposal.note, width)
    sources = result.reading.sources
    try:
        after = patched(sources, proposal.edits)
    except (OverlapError, UnicodeEncodeError) as error:
        yield from paragraph(str(error), width, tone="fault")
        return
    yield from diff_lines(sources, after, width)


def diff_lines(before: Sequence[Source], after: Sequence[Source], width: int) -> Iterator[Line]:
    """Yield the difference of two states of the files, a mark and a tone for each line."""
    for line in diff(before, after):
        tone: Tone = "dim"
        if line.startswith(("+++", "---")):
            tone = "strong"
        elif line.startswith("+"):
            tone = "added"
        elif line.startswith("-"):
            tone = "removed"
        rows = textwrap.wrap(line, max(width - 2, 20), drop_whitespace=False) or [""]
        for number, row in enumerate(rows):
            yield text(("  " if number == 0 else "   ") + row, tone)


def copy_text(result: Result, finding: Finding, proposal: Proposal | None) -> str:
    """Return one finding as plain text for the clipboard or a file."""
    from pincheck.reports.text import finding_lines as report_lines

    number = next((n for n, f in enumerate(result.findings, 1) if f is finding), 1)
    return "\n".join((result.machine, *report_lines(finding, number, proposal))) + "\n"
