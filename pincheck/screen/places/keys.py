"""The keys of a place, and every command to be found by typing."""

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Input

from pincheck.screen.commands import Command
from pincheck.screen.page import Listing, Page, Piece
from pincheck.screen.places.base import Place
from pincheck.screen.view import PageView
from pincheck.screen.write_up import fit


class Keys(Place):
    """Lists commands; typing narrows, Enter does the one under the cursor."""

    HERE = "keys"
    HINTS = ("Enter do it", "type to narrow", "up/down choose", "Esc back")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "go(-1)", "up", show=False),
        Binding("down", "go(1)", "down", show=False),
    ]

    def __init__(self, commands: Iterable[Command], typing: bool) -> None:
        super().__init__()
        self.commands, self.typing = tuple(commands), typing

    def body(self) -> Iterable[Widget]:
        """Yield the line to type in and the list."""
        yield Input(placeholder="type part of a command", id="find")
        yield PageView(self.desk.glyphs, id="page")

    def on_mount(self) -> None:
        """Begin at the typing line or at the list."""
        super().on_mount()
        find = self.query_one("#find", Input)
        find.display = self.typing
        (find if self.typing else self.view("page")).focus()

    def draw(self) -> None:
        """Show the commands that are wanted."""
        typed = self.query_one("#find", Input).value.casefold().split()
        shown = [c for c in self.commands if all(word in c.words.casefold() for word in typed)]
        self.view("page").show(lambda width: _page(shown, width))

    @on(Input.Changed, "#find")
    def narrow(self) -> None:
        """Narrow the list while typing."""
        self.draw()

    @on(Input.Submitted, "#find")
    def do_first(self) -> None:
        """Do the command under the cursor."""
        self.view("page").action_open()

    @on(PageView.Opened, "#page")
    def do(self, message: PageView.Opened) -> None:
        """Do a command."""
        if isinstance(message.target, Command):
            self.dismiss(message.target)

    def action_go(self, by: int) -> None:
        """Move in the list while the typing line has the keys."""
        self.view("page").action_go(0, by)


def _page(commands: list[Command], width: int) -> Page:
    def line(y: int) -> tuple[Piece, ...]:
        command = commands[y]
        key = Piece(f" {fit(command.key, 12)} ", "title", command, whole=True)
        return key, Piece(fit(command.words, width - 14))

    return Listing(len(commands), line)
