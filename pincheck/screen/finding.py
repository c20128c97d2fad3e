"""One finding: what would happen, both ends of it, the numbers, the edit, the rule."""

from collections.abc import Iterator, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from pincheck.edits.patch import OverlapError, patched
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Finding, Proposal, Result
from pincheck.reports import charts, sentences
from pincheck.reports.glyphs import Glyphs
from pincheck.reports.text import finding_lines
from pincheck.rules.registry import rule_named
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.curves import plot_lines
from pincheck.screen.excerpt import chain, claims_lines, diff_lines, number_lines
from pincheck.screen.page import TONES, PageLine, TextRun, heading, labelled, paragraph, text
from pincheck.screen.session import Session, key

CURVE_LINES = 14
"""Height of a plot among the lines of a finding."""


class FindingScreen(BaseScreen):
    """A finding's page; n and p go through the list that it was opened from."""

    HERE = "finding"
    HINTS = (
        "n/p next, previous",
        "e choose its edit",
        "g curves",
        "b board",
        "c copy",
        "Esc back",
        "? keys",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "step(1)", "next finding"),
        Binding("p", "step(-1)", "previous finding"),
    ]

    def __init__(self, session: Session, finding: Finding, among: Sequence[Finding]) -> None:
        super().__init__(session)
        self._finding, self.among = finding, tuple(among)

    @property
    def finding(self) -> Finding:
        """The finding in view."""
        return self._finding

    def draw(self) -> None:
        """Show the finding as the latest check has it, or that it is gone."""
        result, glyphs = self.session.result, self.session.glyphs
        if result is None:
            return
        wanted = key(self._finding)
        finding = next((f for f in result.findings if key(f) == wanted), None)
        if finding is None:
            gone = f" This finding is gone: {sentences.headline(result)}"
            self.view("page").show(lambda _: [text(gone, "agrees")])
            return
        self._finding, proposal = finding, self.session.proposal(finding)
        self.view("page").show(lambda width: finding_page(result, finding, proposal, width, glyphs))

    def action_step(self, by: int) -> None:
        """Go to the next or previous finding of the list."""
        self._finding = self.session.neighbour(self.finding, self.among, by)
        self.view("page").scroll_to(y=0, animate=False)
        self.draw()


def finding_page(
    result: Result,
    finding: Finding,
    proposal: Proposal | None,
    width: int,
    glyphs: Glyphs,
) -> Iterator[PageLine]:
    """Yield the page of one finding."""
    mark = f" {sentences.MARKS[finding.severity]} {finding.severity.word.upper()}"
    spots = ", ".join(f"{role} {attribute}" for role, attribute in finding.spots)
    yield (TextRun(mark, TONES[finding.severity]), TextRun(f"  {spots}", "strong"))
    yield from paragraph(finding.message, width)
    for effect in finding.effects:
        yield from paragraph(f"So: {effect.message}", width)
    if finding.advice:
        yield from paragraph(finding.advice, width, tone="strong")
    # Both ends stand before the arithmetic: who knows the machine judges by them alone.
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


def _wiring(result: Result, finding: Finding, width: int, glyphs: Glyphs) -> Iterator[PageLine]:
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
) -> Iterator[PageLine]:
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


def proposal_lines(result: Result, proposal: Proposal | None, width: int) -> Iterator[PageLine]:
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


def copy_text(result: Result, finding: Finding, proposal: Proposal | None) -> str:
    """Return one finding as plain text for the clipboard or a file."""
    number = next((n for n, f in enumerate(result.findings, 1) if f is finding), 1)
    return "\n".join((result.machine, *finding_lines(finding, number, proposal))) + "\n"
