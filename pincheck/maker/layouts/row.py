"""One line, or one letter of a command, that a reference configuration may have."""

from attrs import frozen

from pincheck.analysis.pairings import home
from pincheck.claims.interpretation import Interpretation
from pincheck.model.path import Trace
from pincheck.model.role import split
from pincheck.model.wiring import Assembly


@frozen
class Row:
    """A key in its place.

    `text` is what it is set to, ready to be typed; None where the copper decides, and then the
    row is left out unless something is wanted of it. A row without a key is a heading, or the bare
    command that the letters below join.
    """

    section: str
    key: str
    text: str | None = None
    why: str = ""
    file: str = ""


@frozen
class Ground:
    """What a layout is made from: the copper, and the way back to pins as users write them."""

    assembly: Assembly
    trace: Trace
    spelling: Interpretation

    def numbers(self, group: str) -> tuple[int, ...]:
        """Return the numbers of a group's heaters: 0 for the first."""
        found = (split(wired.role) for wired in self.trace.wired)
        return tuple(sorted({n for g, n, function in found if (g, function) == (group, "heater")}))

    def fitted(self, role: str) -> bool:
        """Return whether something is fitted for a role and reaches a chip pin."""
        wired = self.trace.find(role)
        return wired is not None and home(wired) is not None

    def other_chips(self) -> dict[str, str]:
        """Return, by role, the key of the board whose chip drives or reads it, if not the main."""
        return {
            wired.role: place.board
            for wired in self.trace.wired
            if (place := home(wired)) and place.board != self.assembly.main
        }

    def names_of(self, board: str) -> tuple[str, ...]:
        """Return the names that the assembly binds to a board's chip."""
        return tuple(name for name, key in self.assembly.chips.items() if key == board)
