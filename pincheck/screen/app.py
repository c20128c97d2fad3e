"""The application: one session, its screens, and the work behind them."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import App
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.worker import get_current_worker

from pincheck.model.problem import Problem, UnreadableError
from pincheck.reports.glyphs import LINES, PLAIN
from pincheck.screen import engine as engines
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.engine import CancelledError, Checked, Engine, Stamp
from pincheck.screen.first_look import FirstLook
from pincheck.screen.session import Session
from pincheck.screen.themes import THEMES, Colours

STOPPED = "was stopped; r checks again"

POLL_S = 1.0
"""How often files are looked at for changes."""


class PincheckApp(App[None]):
    """The application; it knows its screens, they do not know it."""

    CSS_PATH = "screen.tcss"
    ENABLE_COMMAND_PALETTE = False  # it is opened by keys of our own
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("q,ctrl+c,ctrl+q", "quit", "leave", key_display="q", priority=False),
        Binding("r", "check", "check again"),
        Binding("z", "stop", "stop the check that is going on"),
        Binding("e", "edits", "edits: choose, write, undo"),
        Binding("b", "board", "the boards, pin by pin"),
        Binding("g", "curves", "curves: sensor error, answer to a fault"),
        Binding("w", "walk", "bench walk to the first power-on"),
        Binding("i", "input", "input: files read, trouble with them, cautions"),
        Binding("c", "copy", "copy the finding as text"),
        Binding("s", "save", "save the report to a file"),
        Binding("colon", "commands", "every command, found by typing", key_display=":"),
    ]

    class Progress(Message):
        """What a run of the check is doing."""

        def __init__(self, run: int, doing: str) -> None:
            super().__init__()
            self.run, self.doing = run, doing

    class Arrived(Message):
        """What a run of the check came to."""

        def __init__(self, run: int, outcome: Checked | tuple[Problem, ...]) -> None:
            super().__init__()
            self.run, self.outcome = run, outcome

    def __init__(
        self,
        engine: Engine,
        colours: Colours = "dark",
        *,
        ascii_only: bool = False,
        still: bool = False,
    ) -> None:
        super().__init__(ansi_color=True if colours == "none" else None)
        self.session = Session(engine, PLAIN if ascii_only else LINES)
        self._stamps: dict[Path, Stamp] = {}
        if still:
            self.animation_level = "none"
        for theme in THEMES.values():
            self.register_theme(theme)
        self.theme = THEMES[colours].name

    def on_mount(self) -> None:
        """Open the first look and begin to check."""
        self.push_screen(FirstLook(self.session))
        self.action_check()
        self.set_interval(POLL_S, self.look_at_files)

    @property
    def here(self) -> BaseScreen | None:
        """The screen in view; None before there is one."""
        return next((s for s in reversed(self.screen_stack) if isinstance(s, BaseScreen)), None)

    def action_check(self) -> None:
        """Check again."""
        session = self.session
        self._stamps = engines.stamps(session.engine.files(session.checked))
        self._work(session.begin())
        self._show_doing()

    @work(thread=True, exclusive=True, group="check", exit_on_error=False)
    def _work(self, run: int) -> None:
        """Run the check beside the screen; whatever it comes to arrives as one message."""
        worker = get_current_worker()

        def stage(doing: str) -> None:
            if worker.is_cancelled:
                raise CancelledError
            self.post_message(self.Progress(run, doing))

        outcome: Checked | tuple[Problem, ...]
        try:
            outcome = self.session.engine.check(stage)
        except CancelledError:
            return
        except UnreadableError as error:
            outcome = error.problems
        except OSError as error:
            outcome = (Problem(str(error.filename or ""), error.strerror or str(error)),)
        except Exception as error:  # a defect in the engine must not take the screen down
            outcome = (Problem("pincheck", f"internal error, nothing was decided: {error!r}"),)
        self.post_message(self.Arrived(run, outcome))

    def on_pincheck_app_progress(self, message: Progress) -> None:
        """Say what is being done."""
        if message.run == self.session.run and self.session.doing:
            self.session.doing = message.doing
            self._show_doing()

    def on_pincheck_app_arrived(self, message: Arrived) -> None:
        """Take the outcome unless it is stale."""
        if not self.session.publish(message.run, message.outcome):
            return
        # What changed while it was read keeps its older stamp and is read again.
        known = engines.stamps(self.session.engine.files(self.session.checked))
        self._stamps = known | self._stamps
        if here := self.here:
            here.redraw()

    def _show_doing(self) -> None:
        if (here := self.here) and here.query("#answer"):
            here.draw_answer()

    def action_stop(self) -> None:
        """Stop the check that is going on; what is shown stays, marked as an older check."""
        if not self.session.doing:
            return
        self.workers.cancel_group(self, "check")
        self.session.publish(self.session.begin(), (Problem("this check", STOPPED),))
        if here := self.here:
            here.redraw()

    def on_check_again(self) -> None:
        """Check what a screen wrote."""
        self.action_check()

    def look_at_files(self) -> None:
        """Check again when a file changed on disk."""
        if not self.session.doing and (files := engines.changed(self._stamps)):
            self.action_check()
            if here := self.here:
                here.say(f"{', '.join(path.name for path in files[:3])} changed: checking again")

    def action_edits(self) -> None:
        """Go to the edits."""
        from pincheck.screen.edits import EditsScreen

        self._go(EditsScreen, lambda here: EditsScreen(self.session, here.finding))

    def action_board(self) -> None:
        """Go to the boards, the pins of the finding in view marked."""
        from pincheck.screen.board import BoardScreen

        self._go(BoardScreen, lambda here: BoardScreen(self.session, here.finding))

    def action_curves(self) -> None:
        """Go to the curves of the role in view."""
        from pincheck.screen.curves import CurvesScreen

        role = "hotend.sensor"
        self._go(CurvesScreen, lambda here: CurvesScreen(self.session, here.role or role))

    def action_walk(self) -> None:
        """Go to the bench walk."""
        from pincheck.screen.walk import WalkScreen

        try:
            self.session.walk()
        except UnreadableError as error:
            if here := self.here:
                here.say(str(error), "fault")
            return
        self._go(WalkScreen, lambda _: WalkScreen(self.session))

    def action_input(self) -> None:
        """Go to what was read."""
        from pincheck.screen.input import InputScreen

        self._go(InputScreen, lambda _: InputScreen(self.session))

    def _go(self, kind: type[BaseScreen], make: Callable[[BaseScreen], BaseScreen]) -> None:
        here = self.here
        if here and self.session.checked and not isinstance(here, kind):
            self.push_screen(make(here))

    def action_save(self) -> None:
        """Ask where to save the report."""
        from pincheck.screen.save import REPORT, SaveScreen, report

        if checked := self.session.checked:
            content = partial(report, checked)
            self.push_screen(SaveScreen(self.session, "pincheck-report.txt", REPORT, content))

    def action_copy(self) -> None:
        """Hand the finding that one looks at to the terminal's clipboard, as text."""
        from pincheck.screen.finding import copy_text

        here, result = self.here, self.session.result
        if here is None or result is None:
            return
        if finding := here.finding:
            self.copy_to_clipboard(copy_text(result, finding, self.session.proposal(finding)))
            here.say("sent to the terminal's clipboard; not every terminal takes it, s saves")
        else:
            here.say("there is no finding under the cursor to copy")

    def action_commands(self) -> None:
        """Open the toolkit's palette with every key of where one is, and what has none."""
        from pincheck.screen.commands import commands

        self.search_commands(commands(self.screen, self), "type part of a command")

    def action_colours(self, colours: Colours) -> None:
        """Change colours."""
        self.ansi_color = True if colours == "none" else None
        self.theme = THEMES[colours].name
