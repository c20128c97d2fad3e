"""Saving a report, or anything else, to a file that must not exist yet."""

from collections.abc import Callable, Iterable
from pathlib import Path

from textual import on
from textual.widget import Widget
from textual.widgets import Input

from pincheck.screen.page import Sheet
from pincheck.screen.places.base import Place
from pincheck.screen.view import PageView
from pincheck.screen.write_up import paragraph


class Save(Place):
    """Asks for a file name and writes what `content` makes for it."""

    HERE = "save"
    HINTS = ("Enter save", "Esc do not")

    def __init__(self, proposed: str, about: str, content: Callable[[Path], str]) -> None:
        super().__init__()
        self.proposed, self.about, self.content = proposed, about, content

    def body(self) -> Iterable[Widget]:
        """Yield what is saved and the line for the name."""
        yield Input(self.proposed, id="find", select_on_focus=False)
        yield PageView(self.desk.glyphs, focus=False, id="page")

    def on_mount(self) -> None:
        """Begin at the name."""
        super().on_mount()
        self.query_one(Input).focus()

    def draw(self) -> None:
        """Say what is saved where."""
        said = f"{self.about} It goes into {Path.cwd()} unless the name says otherwise."
        self.view("page").show(lambda width: Sheet(list(paragraph(said, width))))

    @on(Input.Submitted)
    def save(self, message: Input.Submitted) -> None:
        """Write the file; an existing one is never replaced."""
        path = Path(message.value.strip()).expanduser()
        if not message.value.strip():
            self.say("a name is needed", "fault")
            return
        content = self.content(path)
        try:
            with path.open("x", encoding="utf-8", newline="\n") as file:
                file.write(content)
        except FileExistsError:
            self.say(f"{path} is there already and is not replaced; take another name", "fault")
        except (OSError, ValueError) as error:
            self.say(f"{path}: {getattr(error, 'strerror', '') or error}", "fault")
        else:
            self.dismiss(path)
