"""The application: one sitting, its places, and the work behind them."""

from collections.abc import Callable, Iterable
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
from pincheck.screen import commands, looks, watch
from pincheck.screen.commands import Command
from pincheck.screen.engine import CancelledError, Checked, Engine
from pincheck.screen.looks import LOOKS, Look
from pincheck.screen.places.base import Place
from pincheck.screen.places.first import FirstLook
from pincheck.screen.session import Session

STOPPED = "was stopped; r checks again"

POLL_S = 1.0
"""How often files are looked at for changes."""


class PincheckApp(App[None]):
    """The screen."""

    CSS_PATH = "screen.tcss"
    ENABLE_COMMAND_PALETTE = False
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
        look: Look = "dark",
        *,
        ascii_only: bool = False,
        still: bool = False,
    ) -> None:
        super().__init__(ansi_color=True if look == "none" else None)
        self.session = Session(engine)
        self.glyphs = PLAIN if ascii_only else LINES
        self.doing = ""
        self.still = still
        self._stamps: dict[Path, watch.Stamp] = {}
        if still:
            self.animation_level = "none"
        for theme in looks.THEMES.values():
            self.register_theme(theme)
        self.tones = looks.tones(look)
        self.theme = looks.THEMES[look].name

    def on_mount(self) -> None:
        """Open the first look and begin to check."""
        self.push_screen(FirstLook())
        self.action_check()
        self.set_interval(POLL_S, self.look_at_files)

    @property
    def place(self) -> Place | None:
        """The place in view."""
        return next((s for s in reversed(self.screen_stack) if isinstance(s, Place)), None)

    def action_check(self) -> None:
        """Check again."""
        self.doing = "reading"
        self._stamps = watch.stamps(self.session.engine.files(self.session.checked))
        self._work(self.session.begin())
        self._show_doing()

    @work(thread=True, exclusive=True, group="check", exit_on_error=False)
    def _work(self, run: int) -> None:
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
        if message.run == self.session.run and self.doing:
            self.doing = message.doing
            self._show_doing()

    def on_pincheck_app_arrived(self, message: Arrived) -> None:
        """Take the outcome unless it is stale."""
        if not self.session.publish(message.run, message.outcome):
            return
        self.doing = ""
        known = watch.stamps(self.session.engine.files(self.session.checked))
        self._stamps = known | self._stamps
        if place := self.place:
            place.redraw()

    def _show_doing(self) -> None:
        place = self.place
        if place and place.query("#answer"):
            place.draw_answer()

    def action_stop(self) -> None:
        """Stop the check that is going on; what is shown stays, marked as an older check."""
        if not self.doing:
            return
        self.workers.cancel_group(self, "check")
        self.doing = ""
        self.session.publish(self.session.begin(), (Problem("this check", STOPPED),))
        if place := self.place:
            place.redraw()

    def look_at_files(self) -> None:
        """Check again when a file changed on disk."""
        if not self.doing and (files := watch.changed(self._stamps)):
            self.action_check()
            if place := self.place:
                place.say(f"{', '.join(path.name for path in files[:3])} changed: checking again")

    def action_edits(self) -> None:
        """Go to the edits."""
        from pincheck.screen.places.edits import EditsPlace

        self._go(EditsPlace, lambda place: EditsPlace(place.finding))

    def action_board(self) -> None:
        """Go to the boards, the pins of the finding in view marked."""
        from pincheck.screen.places.board import BoardPlace

        self._go(BoardPlace, lambda place: BoardPlace(place.finding))

    def action_curves(self) -> None:
        """Go to the curves of the role in view."""
        from pincheck.screen.places.curves import CurvesPlace

        self._go(CurvesPlace, lambda place: CurvesPlace(place.role or "hotend.sensor"))

    def action_walk(self) -> None:
        """Go to the bench walk."""
        from pincheck.screen.places.walk import WalkPlace

        self._go(WalkPlace, lambda _: WalkPlace())

    def action_input(self) -> None:
        """Go to what was read."""
        from pincheck.screen.places.input import InputPlace

        self._go(InputPlace, lambda _: InputPlace())

    def _go(self, kind: type[Place], make: Callable[[Place], Place]) -> None:
        place = self.place
        if place and self.session.checked and not isinstance(place, kind):
            self.push_screen(make(place))

    def action_save(self) -> None:
        """Ask where to save the report."""
        from pincheck.screen import saved
        from pincheck.screen.places.save import Save

        if checked := self.session.checked:
            content = partial(saved.report, checked)
            self.push_screen(Save("pincheck-report.txt", saved.ABOUT, content), self._say_saved)

    def _say_saved(self, path: Path | None) -> None:
        if path and (place := self.place):
            place.say(f"saved: {path}")

    def action_keys(self) -> None:
        """List the keys of where one is."""
        self._list(commands.of_place(self.screen), typing=False)

    def action_commands(self) -> None:
        """List every command to be found by typing."""
        here = commands.of_place(self.screen, moves=False)
        self._list((*here, *commands.beyond_keys()), typing=True)

    def _list(self, listed: Iterable[Command], *, typing: bool) -> None:
        from pincheck.screen.places.keys import Keys

        self.push_screen(Keys(listed, typing), self._do)

    async def _do(self, command: Command | None) -> None:
        if command:
            await self.run_action(command.action, command.node or self)

    def action_copy(self) -> None:
        """Hand the finding that one looks at to the terminal's clipboard, as text."""
        from pincheck.screen.detail import copy_text

        place, result = self.place, self.session.result
        if place is None or result is None:
            return
        if finding := place.finding:
            self.copy_to_clipboard(copy_text(result, finding, self.session.proposal(finding)))
            place.say("sent to the terminal's clipboard; not every terminal takes it, s saves")
        else:
            place.say("there is no finding under the cursor to copy")

    def action_look(self, look: str) -> None:
        """Change colours."""
        chosen = next(known for known in LOOKS if known == look)
        self.ansi_color = True if chosen == "none" else None
        self.tones = looks.tones(chosen)
        self.theme = looks.THEMES[chosen].name
