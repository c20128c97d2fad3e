"""What a style's layout asks about the copper of one assembly."""

from collections.abc import Iterator

from attrs import frozen

from pincheck.analysis import roles
from pincheck.analysis.pairings import home
from pincheck.analysis.polarity import pull_needed, reads_input
from pincheck.chips import canonical_by_syntax
from pincheck.claims.interpretation import Interpretation
from pincheck.maker.motors import current_a, driver_type
from pincheck.maker.sensors import converter_word
from pincheck.model.claim import PinValue, Place
from pincheck.model.path import Trace, Wired
from pincheck.model.role import split
from pincheck.model.wiring import Assembly
from pincheck.respell.pins import spell
from pincheck.styles.step import CannotSpellError


@frozen
class Ground:
    """The copper, and the way back to pins as users write them; see `styles.layout.Ground`."""

    assembly: Assembly
    trace: Trace
    spelling: Interpretation

    def name(self, role: str) -> str:
        return roles.name(role)

    def numbers(self, group: str) -> tuple[int, ...]:
        found = (split(wired.role) for wired in self.trace.wired)
        return tuple(sorted({n for g, n, function in found if (g, function) == (group, "heater")}))

    def fitted(self, role: str) -> bool:
        wired = self.trace.find(role)
        return wired is not None and home(wired) is not None

    def other_chips(self) -> dict[str, str]:
        return {
            wired.role: place.board
            for wired in self.trace.wired
            if (place := home(wired)) and place.board != self.assembly.main
        }

    def names_of(self, board: str) -> tuple[str, ...]:
        return tuple(name for name, key in self.assembly.chips.items() if key == board)

    def converter_word(self, role: str) -> str:
        return converter_word(self.trace.find(role), self.spelling.style.name)

    def driver_type(self, role: str) -> str:
        return driver_type(self.trace, role)

    def current_a(self, role: str) -> float | None:
        return current_a(self.trace, role)

    def inputs(self) -> tuple[Wired, ...]:
        return tuple(filter(reads_input, self.trace.wired))

    def pull_needed(self, wired: Wired) -> str:
        return pull_needed(wired)

    def driver_pins(self, role: str) -> Iterator[tuple[str, str]]:
        wired = self.trace.find(role)
        driver = wired.path.driver if wired else None
        if wired is None or driver is None:
            return
        board = next((hop.board for hop in wired.path.hops if hop.kind == "driver"), "")
        for kind, pin in (("dir", driver.dir_pin), ("enable", driver.enable_pin)):
            if pin and board:
                place = Place(board, canonical_by_syntax(pin) or pin)
                try:
                    yield kind, spell(self.spelling.pins, PinValue(pin, place), "")
                except ValueError as error:
                    raise CannotSpellError(f"{role}, {kind} pin of its driver: {error}") from None
