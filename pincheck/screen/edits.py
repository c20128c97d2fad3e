"""Choosing edits, seeing what they come to, writing and undoing them."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widget import Widget
from textual.worker import get_current_worker

from pincheck.edits.trial import MENDED, Trial
from pincheck.model.finding import Finding, Proposal, Severity
from pincheck.model.source import Source
from pincheck.reports import sentences
from pincheck.screen.base_screen import BaseScreen, CheckAgain
from pincheck.screen.engine import Checked
from pincheck.screen.excerpt import diff_lines
from pincheck.screen.page import TONES, PageLine, TextRun, fit, heading, paragraph, text
from pincheck.screen.row_list import RowList
from pincheck.screen.session import Session
from pincheck.writing.change import WriteRefusedError


class EditsScreen(BaseScreen):
    """Suggested edits above, the combined difference below."""

    HERE = "edits"
    HINTS = (
        "Space choose",
        "a all safe",
        "x none",
        "d write",
        "u undo",
        "Tab diff",
        "Esc back",
        "? keys",
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "safe", "choose every edit that weakens nothing"),
        Binding("x", "none", "choose none"),
        Binding("d", "write", "write the chosen edits (asks first)"),
        Binding("u", "undo", "undo what was written last"),
    ]

    class Tried(Message):
        """What the chosen edits come to; `of` numbers the choice."""

        def __init__(self, of: int, trial: Trial | str) -> None:
            super().__init__()
            self.of, self.trial = of, trial

    def __init__(self, session: Session, finding: Finding | None = None) -> None:
        super().__init__(session)
        self._begin_at = finding
        self._choice = 0
        self.trial: Trial | None = None
        self.trying = False
        self._write_asked = False

    def body(self) -> Iterable[Widget]:
        """Yield choices and preview."""
        yield RowList(self.session.glyphs, id="choices")
        yield self.page("what", focus=False)
        yield self.page("preview")

    def on_mount(self) -> None:
        """Begin at the list."""
        super().on_mount()
        self.rows("choices").focus()
        self._begin_at = None

    def draw(self) -> None:
        """Show the choices and try them."""
        checked, chosen = self.session.checked, self.session.selection()
        if checked is None:
            return
        proposals = checked.proposals
        begin = self.session.proposal(self._begin_at) if self._begin_at else None
        self.rows("choices").styles.height = max(1, len(proposals))
        self.rows("choices").show(lambda width: choice_rows(proposals, chosen, width), begin)
        self._choice += 1
        self.trial, self.trying = None, bool(chosen)
        if chosen:
            self._try(self._choice, checked, chosen)
        self._show_preview()

    @work(thread=True, exclusive=True, group="trial", exit_on_error=False)
    def _try(self, of: int, checked: Checked, chosen: tuple[Proposal, ...]) -> None:
        outcome: Trial | str
        try:
            outcome = self.session.engine.attempt(checked, chosen)
        except Exception as error:  # a defect in the engine must not take the screen down
            outcome = f"internal error, nothing was decided: {error!r}"
        if not get_current_worker().is_cancelled:
            self.post_message(self.Tried(of, outcome))

    def on_edits_screen_tried(self, message: Tried) -> None:
        """Show what the choice comes to unless another one was made since."""
        if message.of != self._choice:
            return
        self.trying = False
        if isinstance(message.trial, str):
            self.say(message.trial, "fault")
        else:
            self.trial = message.trial
        self._show_preview()
        if self._write_asked and self.is_current:
            self.action_write()

    def _show_preview(self) -> None:
        checked, trial = self.session.checked, self.trial
        said = f" {sentences.plural(len(self.session.selection()), 'edit')} chosen"
        said += ", trying.." if self.trying else ""
        if undoable := self.session.written:
            said += f"; {sentences.plural(undoable, 'writing', 'writings')} can be undone (u)"
        self.view("what").show(lambda width: [text(fit(said, width), "title")])
        if checked and not self.trying:
            sources = checked.machine.sources
            self.view("preview").show(lambda width: preview(sources, trial, width))

    @on(RowList.OptionSelected)
    def choose(self) -> None:
        """Choose an edit, or drop it."""
        proposal = self.rows("choices").target
        if not isinstance(proposal, Proposal):
            return
        if proposal.edits:
            self.session.choose(proposal)
            self._chosen_anew()
        else:
            self.say(f"no edit: {proposal.blocked or proposal.finding.advice or 'none helps'}")

    def action_safe(self) -> None:
        """Choose every edit that weakens nothing."""
        self.session.choose_safe()
        self._chosen_anew()

    def action_none(self) -> None:
        """Choose none."""
        self.session.choose_none()
        self._chosen_anew()

    def _chosen_anew(self) -> None:
        self._write_asked = False
        self.draw()

    def action_write(self) -> None:
        """Ask, naming the files, and write; while the choice is still tried, ask after that."""
        checked, trial = self.session.checked, self.trial
        self._write_asked = self.trying
        if self.trying:
            self.say("still trying; asks when that is done")
        elif checked is None or trial is None or not trial.applied:
            self.say("no chosen edit can be written")
        elif unread := next((it for it in checked.result.problems if it.fatal), None):
            self.say(f"nothing can be written: {unread.file} could not be read as a whole")
        elif checked.machine.root is None:
            self.say("an archive or the demo is not written back: unpack or copy it first")
        else:
            asked = ConfirmScreen(self.session, checked.machine.root.resolve(), checked, trial)
            self.app.push_screen(asked, self._write)

    def _write(self, trial: Trial | None) -> None:
        if trial is None:
            self.say("nothing was written")
            return
        self._disk(lambda: self.session.apply(trial), "written")

    def action_undo(self) -> None:
        """Write back what the last edits replaced."""
        if self.session.written:
            self._disk(self.session.undo, "written back as it was")
        else:
            self.say("nothing was written that could be undone")

    def _disk(self, write: Callable[[], tuple[Path, ...]], done: str) -> None:
        try:
            paths = write()
        except (WriteRefusedError, OSError) as error:
            self.say(str(error), "fault")
            return
        self.post_message(CheckAgain())
        self.say(f"{done}: {', '.join(path.name for path in paths)}; checking again")


class ConfirmScreen(BaseScreen):
    """The question before anything is written; gives the trial back for yes, None for no."""

    HERE = "write?"
    HINTS = ("y write these files", "n no, write nothing")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "yes", "write"),
        Binding("n", "leave", "write nothing"),
    ]

    def __init__(self, session: Session, root: Path, checked: Checked, trial: Trial) -> None:
        super().__init__(session)
        self.root, self.checked, self.trial = root, checked, trial

    def draw(self) -> None:
        """Show what would be written."""
        before = self.checked.machine.sources
        self.view("page").show(lambda width: question(self.root, before, self.trial, width))

    def action_yes(self) -> None:
        """Write."""
        self.dismiss(self.trial)


def choice_rows(
    proposals: Sequence[Proposal], chosen: Sequence[Proposal], width: int
) -> Iterator[PageLine]:
    """Yield a row for each finding: chosen, not chosen, or no edit and why."""
    picked = {id(proposal) for proposal in chosen}
    for proposal in proposals:
        finding, box = proposal.finding, "[ ]" if proposal.edits else " - "
        head = (
            f" {'[+]' if id(proposal) in picked else box} {sentences.MARKS[finding.severity]:>2} "
        )
        role, rest = fit(finding.role, 15) + " ", width - len(head) - 16
        said = proposal.note if proposal.edits else f"no edit: {proposal.blocked or 'none helps'}"
        yield (
            TextRun(head, TONES[finding.severity], proposal),
            TextRun(role, "strong"),
            TextRun(fit(_careful(proposal, said), rest), "" if proposal.edits else "dim"),
        )


def _careful(proposal: Proposal, said: str) -> str:
    return said if proposal.safe else f"CAREFUL, {said}"


def preview(before: Sequence[Source], trial: Trial | None, width: int) -> Iterator[PageLine]:
    """Yield what the chosen edits come to: dangers left, what was refused, the combined diff."""
    if trial is None:
        yield from paragraph("Nothing chosen. Space chooses an edit, a all that are safe.", width)
        return
    yield from paragraph(f"After these edits: {sentences.headline(trial.result)}", width, "strong")
    yield from _left(trial, width)
    for proposal, reason in trial.refused:
        said = f"left out, {proposal.finding.rule}: {reason}"
        yield from paragraph(said, width, "fault")
    for proposal in trial.mended:
        yield from paragraph(f"left out, {proposal.finding.rule}: {MENDED}", width)
    yield ()
    yield from diff_lines(before, trial.machine.sources, width)


def _left(trial: Trial, width: int) -> Iterator[PageLine]:
    """Yield a line for each danger that the edits do not remove."""
    for finding in trial.result.findings:
        if finding.severity is Severity.DANGER:
            said = f" !! still there: {finding.role}: {finding.message}"
            yield text(fit(said, width), "danger")


def question(root: Path, before: Sequence[Source], trial: Trial, width: int) -> Iterator[PageLine]:
    """Yield what is about to be written, every file by its name."""
    states = zip(before, trial.machine.sources, strict=True)
    changed = [old.name for old, new in states if old.data != new.data]
    yield from heading(f"Write into {sentences.plural(len(changed), 'file')}?")
    for name in changed:
        yield text(f"   {fit(str(root / name), width - 4)}", "strong")
    yield from heading("Afterwards")
    yield from paragraph(sentences.headline(trial.result), width)
    yield from _left(trial, width)
    yield from heading("Edits")
    for proposal in trial.applied:
        said = _careful(proposal, proposal.note)
        yield from paragraph(f"{proposal.finding.role}: {said}", width)
