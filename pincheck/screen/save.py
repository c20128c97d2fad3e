"""Saving a report, or anything else, to a file that must not exist yet."""

import os
from collections.abc import Callable, Iterable
from pathlib import Path

from textual import on
from textual.widget import Widget
from textual.widgets import Input

from pincheck.reports import json
from pincheck.reports.text import text
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.engine import Checked
from pincheck.screen.page import paragraph
from pincheck.screen.session import Session
from pincheck.writing.change import FileChange, WriteRefusedError
from pincheck.writing.write import write

REPORT = "The whole report: as text, or as JSON where the name ends in .json."


def report(checked: Checked, path: Path) -> str:
    """Return the report of a check; the ending of the file's name decides the form."""
    if path.suffix.lower() == ".json":
        return json.document(checked.result, checked.proposals)
    lines = text(checked.result, checked.proposals, reason=checked.machine.reason)
    return "\n".join(lines) + "\n"


class SaveScreen(BaseScreen):
    """Asks for a file name and writes what `content` makes for it; the screen below says so."""

    HERE = "save"
    HINTS = ("Enter save", "Esc do not")

    def __init__(
        self, session: Session, proposed: str, about: str, content: Callable[[Path], str]
    ) -> None:
        super().__init__(session)
        self.proposed, self.about, self.content = proposed, about, content

    def body(self) -> Iterable[Widget]:
        """Yield what is saved and the line for the name."""
        yield Input(self.proposed, id="find", select_on_focus=False)
        yield self.page("page", focus=False)

    def on_mount(self) -> None:
        """Begin at the name."""
        super().on_mount()
        self.query_one(Input).focus()

    def draw(self) -> None:
        """Say what is saved where."""
        said = f"{self.about} It goes into {Path.cwd()} unless the name says otherwise."
        self.view("page").show(lambda width: paragraph(said, width))

    @on(Input.Submitted)
    def save(self, message: Input.Submitted) -> None:
        """Write the file; an existing one is never replaced."""
        path = Path(message.value.strip()).expanduser()
        if not message.value.strip():
            self.say("a name is needed", "fault")
            return
        try:
            self._write(path)
        except FileExistsError:
            self.say(f"{path} is there already and is not replaced; take another name", "fault")
        except (OSError, ValueError, WriteRefusedError) as error:
            said = getattr(error, "strerror", "") or error
            self.say(f"{path}: {said}", "fault")
        else:
            below = self.app.screen_stack[-2]
            self.dismiss()
            if isinstance(below, BaseScreen):
                below.say(f"saved: {path}")

    def _write(self, path: Path) -> None:
        where = path.parent.resolve(strict=True) / path.name
        if os.path.lexists(where):
            raise FileExistsError
        write([FileChange(where, path.name, None, self.content(path).encode())])
