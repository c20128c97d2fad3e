"""Pages of the edits: the list to choose from, and what the chosen ones come to."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from pincheck.edits.trial import MENDED, Trial
from pincheck.model.edit import Proposal
from pincheck.model.finding import Severity
from pincheck.model.source import Source
from pincheck.reports import words
from pincheck.screen.detail import diff_lines
from pincheck.screen.first_look import SEVERITY_TONES
from pincheck.screen.page import Line, Listing, Page, Piece, Tone, text
from pincheck.screen.write_up import fit, heading, paragraph


def choices(proposals: Sequence[Proposal], chosen: Sequence[Proposal], width: int) -> Page:
    """Return a line for each finding: chosen, not chosen, or no edit and why."""
    picked = {id(proposal) for proposal in chosen}

    def line(y: int) -> Line:
        proposal = proposals[y]
        finding, mark = proposal.finding, words.MARKS[proposal.finding.severity]
        box = "[+]" if id(proposal) in picked else "[ ]" if proposal.edits else " - "
        head, role = f" {box} {mark:>2} ", fit(finding.role, 15) + " "
        said = proposal.note if proposal.edits else f"no edit: {proposal.blocked or 'none helps'}"
        said = said if proposal.safe else f"CAREFUL, {said}"
        tone: Tone = SEVERITY_TONES[finding.severity]
        rest = Piece(fit(said, width - len(head) - len(role)), "" if proposal.edits else "dim")
        return (Piece(head, tone, proposal, whole=True), Piece(role, "strong"), rest)

    return Listing(len(proposals), line)


def preview(before: Sequence[Source], trial: Trial | None, width: int) -> Iterator[Line]:
    """Yield what the chosen edits come to: dangers left, what was refused, the combined diff."""
    if trial is None:
        yield from paragraph("Nothing chosen. Space chooses an edit, a all that are safe.", width)
        return
    yield from paragraph(f"After these edits: {words.headline(trial.result)}", width, tone="strong")
    yield from _left(trial, width)
    for proposal, reason in trial.refused:
        said = f"left out, {proposal.finding.rule}: {reason}"
        yield from paragraph(said, width, tone="fault")
    for proposal in trial.mended:
        yield from paragraph(f"left out, {proposal.finding.rule}: {MENDED}", width)
    yield ()
    yield from diff_lines(before, trial.machine.sources, width)


def _left(trial: Trial, width: int) -> Iterator[Line]:
    """Yield a line for each danger that the edits do not remove."""
    for finding in trial.result.findings:
        if finding.severity is Severity.DANGER:
            said = f" !! still there: {finding.role}: {finding.message}"
            yield text(fit(said, width), "danger")


def question(root: Path, before: Sequence[Source], trial: Trial, width: int) -> Iterator[Line]:
    """Yield what is about to be written, every file by its name."""
    changed = [
        old.name
        for old, new in zip(before, trial.machine.sources, strict=True)
        if old.data != new.data
    ]
    yield from heading(f"Write into {words.plural(len(changed), 'file')}?")
    for name in changed:
        yield text(f"   {fit(str(root / name), width - 4)}", "strong")
    yield from heading("Afterwards")
    yield from paragraph(words.headline(trial.result), width)
    yield from _left(trial, width)
    yield from heading("Edits")
    for proposal in trial.applied:
        said = proposal.note if proposal.safe else f"CAREFUL, {proposal.note}"
        yield from paragraph(f"{proposal.finding.role}: {said}", width)
