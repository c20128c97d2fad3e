"""Choosing edits, seeing what they come to, writing and undoing them."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widget import Widget
from textual.worker import get_current_worker

from pincheck.edits.trial import Trial
from pincheck.model.edit import Proposal
from pincheck.model.finding import Finding
from pincheck.reports import words
from pincheck.screen import edits_page
from pincheck.screen.engine import Checked
from pincheck.screen.page import Page, Sheet, text
from pincheck.screen.places.base import Place
from pincheck.screen.places.confirm import Confirm
from pincheck.screen.view import PageView
from pincheck.screen.write_up import fit
from pincheck.writing.change import WriteRefusedError


class EditsPlace(Place):
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

    def __init__(self, finding: Finding | None = None) -> None:
        super().__init__()
        self._begin_at = finding
        self._choice = 0
        self.trial: Trial | None = None
        self.trying = False
        self._write_asked = False

    def body(self) -> Iterable[Widget]:
        """Yield choices and preview."""
        yield PageView(self.desk.glyphs, id="choices")
        yield PageView(self.desk.glyphs, focus=False, id="what")
        yield PageView(self.desk.glyphs, id="preview")

    def on_mount(self) -> None:
        """Begin at the list."""
        super().on_mount()
        self.view("choices").focus()
        self._begin_at = None

    def draw(self) -> None:
        """Show the choices and try them."""
        checked, chosen = self.session.checked, self.session.selection()
        if checked is None:
            return
        proposals = checked.proposals
        self.view("choices").styles.height = max(1, len(proposals))
        begin = self.session.proposal(self._begin_at) if self._begin_at else None
        self.view("choices").show(
            lambda width: edits_page.choices(proposals, chosen, width), stand_on=begin
        )
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

    def on_edits_place_tried(self, message: Tried) -> None:
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
        self.view("what").show(self._what)
        if checked is None or self.trying:
            return
        sources = checked.machine.sources
        self.view("preview").show(
            lambda width: Sheet(list(edits_page.preview(sources, trial, width)))
        )

    def _what(self, width: int) -> Page:
        chosen, undoable = len(self.session.selection()), len(self.session.history)
        said = f" {words.plural(chosen, 'edit')} chosen" + (", trying.." if self.trying else "")
        if undoable:
            said += f"; {words.plural(undoable, 'writing', 'writings')} can be undone (u)"
        return Sheet([text(fit(said, width), "title")])

    @on(PageView.Opened, "#choices")
    def choose(self, message: PageView.Opened) -> None:
        """Choose an edit, or drop it."""
        proposal = message.target
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
            self.app.push_screen(Confirm(checked, trial), self._write)

    def _write(self, trial: Trial | None) -> None:
        if trial is None:
            self.say("nothing was written")
            return
        self._disk(lambda: self.session.apply(trial), "written")

    def action_undo(self) -> None:
        """Write back what the last edits replaced."""
        if self.session.history:
            self._disk(self.session.undo, "written back as it was")
        else:
            self.say("nothing was written that could be undone")

    def _disk(self, write: Callable[[], tuple[Path, ...]], done: str) -> None:
        try:
            paths = write()
        except (WriteRefusedError, OSError) as error:
            self.say(str(error), "fault")
            return
        self.desk.action_check()
        self.say(f"{done}: {', '.join(path.name for path in paths)}; checking again")
