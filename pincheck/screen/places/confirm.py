"""The question before anything is written, with every file by its name."""

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widget import Widget

from pincheck.edits.trial import Trial
from pincheck.screen import edits_page
from pincheck.screen.engine import Checked
from pincheck.screen.page import Sheet
from pincheck.screen.places.base import Place
from pincheck.screen.view import PageView


class Confirm(Place):
    """Gives the trial back for yes, None for no."""

    HERE = "write?"
    HINTS = ("y write these files", "n no, write nothing")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "yes", "write"),
        Binding("n", "leave", "write nothing"),
    ]

    def __init__(self, checked: Checked, trial: Trial) -> None:
        super().__init__()
        self.checked, self.trial = checked, trial

    def body(self) -> Iterable[Widget]:
        """Yield the question."""
        yield PageView(self.desk.glyphs, id="page")

    def draw(self) -> None:
        """Show what would be written."""
        machine = self.checked.machine
        if machine.root is not None:
            root = machine.root.resolve()
            self.view("page").show(
                lambda width: Sheet(
                    list(edits_page.question(root, machine.sources, self.trial, width))
                )
            )

    def action_yes(self) -> None:
        """Write."""
        self.dismiss(self.trial)
