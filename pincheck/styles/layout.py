"""What a reference configuration of a style looks like: its files, their order, their lines."""

import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping

from attrs import field

from pincheck.chips import canonical
from pincheck.model.claim import PinValue, Place
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace, Wired
from pincheck.model.printable import printable
from pincheck.model.role import split
from pincheck.model.wiring import Assembly
from pincheck.styles.step import CannotSpellError

MARK = "yours"
"""The first word of a remark on what is the user's own choice."""

_WIDTH = 88
_REMARK_AT = 44


@frozen
class LayoutRow:
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
class ReferenceLine:
    """One setting of a reference configuration; a heading has no key.

    `text` is the value ready to be typed. `whys` and `roles` are those of what it says; `yours`
    tells that it is the user's own choice.
    """

    file: str
    section: str
    key: str
    text: str = ""
    whys: tuple[str, ...] = field(default=(), eq=False)
    roles: tuple[str, ...] = field(default=(), eq=False)
    yours: bool = field(default=False, eq=False)

    @property
    def why(self) -> str:
        """Why the line is as it is, as text for a remark."""
        return remark("; ".join(dict.fromkeys(filter(None, self.whys))))


@frozen
class Ground:
    """What a layout asks about the copper, by role.

    `homes` are the chip pins that parts reach, `inputs` the parts that give a digital level.
    `pull_needed` tells the pull that only the chip can give one, `converter_word` the style's word
    for what reads a platinum sensor without a pin of its own. `driver_type` is of a driver that
    takes its current over a wire, `current_a` the RMS current of a motor; all are empty where
    there is no such thing. `spell` writes a pin in the style.
    """

    assembly: Assembly
    trace: Trace
    homes: Mapping[str, Place]
    name: Callable[[str], str]
    inputs: tuple[Wired, ...]
    pull_needed: Callable[[Wired], str]
    converter_word: Callable[[str], str]
    driver_type: Callable[[str], str]
    current_a: Callable[[str], float | None]
    spell: Callable[[PinValue], str]

    def numbers(self, group: str) -> tuple[int, ...]:
        """Return the numbers of a group's heaters: 0 for the first."""
        found = (split(wired.role) for wired in self.trace.wired)
        return tuple(sorted({n for g, n, function in found if (g, function) == (group, "heater")}))

    def fitted(self, role: str) -> bool:
        """Return whether something is fitted for a role and reaches a chip pin."""
        return role in self.homes

    def own_pins(self, group: str, function: str) -> tuple[int, ...]:
        """Return the numbers of a group's parts, of those on one pin only the first."""
        found: dict[Place, int] = {}
        for role, place in self.homes.items():
            if split(role)[::2] == (group, function):
                found.setdefault(place, split(role)[1])
        return tuple(sorted(found.values()))

    def other_chips(self) -> Mapping[str, str]:
        """Return, by role, the key of the board whose chip drives or reads it, if not the main."""
        homes = self.homes.items()
        return {role: place.board for role, place in homes if place.board != self.assembly.main}

    def names_of(self, board: str) -> tuple[str, ...]:
        """Return the names that the assembly binds to a board's chip."""
        return tuple(name for name, key in self.assembly.chips.items() if key == board)

    def driver_pins(self, role: str) -> Iterator[tuple[str, str]]:
        """Yield ("dir", pin) and ("enable", pin) of a motor's driver, spelt in the style.

        Raises:
            CannotSpellError: the style has no way to write one of them.
        """
        wired = self.trace.find(role)
        driver = wired.path.driver if wired else None
        if wired is None or driver is None:
            return
        board = next((hop.board for hop in wired.path.hops if hop.kind == "driver"), "")
        for kind, pin in (("dir", driver.dir_pin), ("enable", driver.enable_pin)):
            if pin and board:
                chip = self.assembly.boards[board].chip
                value = PinValue(pin, Place(board, canonical(chip, pin)))
                try:
                    yield kind, self.spell(value)
                except ValueError as error:
                    raise CannotSpellError(f"{role}, {kind} pin of its driver: {error}") from None


class Layout:
    """See the module; these values are those of one file of plain lines in no section."""

    __slots__ = ()
    files: tuple[str, ...]
    """The files, the main one first."""
    mark: str
    use: str
    """Where the files belong and what wins there, in sentences."""
    overshoot_c: Mapping[str, float] = {}
    """What the firmware itself keeps between its limit and the highest target, by group."""
    fan_hz: float | None = None
    """What two-wire fans are commonly switched at, None where it is left to the timer."""
    current_by_command = False
    """Whether a command sets motor currents, whatever the driver's type, as the sine's peak."""
    full_power_unsaid = False
    """Whether full power is better left to the firmware than said."""
    shares_protection = False
    """Whether all hot ends have the same times of protection."""

    def rows(self, ground: Ground) -> Iterator[LayoutRow]:
        """Yield every line that the files may have, in their order.

        Raises:
            CannotSpellError: the style has no way to say what the assembly needs.
        """
        raise NotImplementedError

    def needs(self, drivers: Iterable[str], chips: Iterable[str]) -> Iterator[str]:
        """Yield what of the user's own the files need: drivers by type, other chips by name."""
        del drivers, chips
        yield from ()

    def newer(self, line: ReferenceLine) -> ReferenceLine:
        """Return a line as current releases spell it, where they renamed its key."""
        return line

    def goes(self, ground: Ground, said: Mapping[str, str]) -> Iterator[str]:
        """Yield what of the user's own, or of a board's header, has to go; `said` is by key."""
        del ground, said
        yield from ()

    def line(self, line: ReferenceLine) -> str:
        """Return one setting as text."""
        return f"{line.key} {line.text}".rstrip()

    def where(self, section: str) -> str:
        """Return what tells the section or command before a setting shown alone."""
        return f"{section}: " if section else ""

    def plain(self, lines: Iterable[ReferenceLine]) -> Iterator[str]:
        """Yield lines as text without remarks."""
        yield from (self.line(line) for line in lines if line.key)

    def body(self, lines: Iterable[ReferenceLine]) -> Iterator[str]:
        """Yield the lines of one file as text, each with its why."""
        for line in lines:
            yield self.beside(line) if line.key else f"\n{self.mark} {line.why}"

    def beside(self, line: ReferenceLine) -> str:
        """Return one setting as text with its why behind it."""
        text = self.line(line)
        why = ": ".join(filter(None, (MARK * line.yours, line.why)))
        return f"{text:<{_REMARK_AT}} {self.mark} {why}" if why else text

    def remarks(self, sentence: str) -> Iterator[str]:
        """Yield a sentence as lines of remarks."""
        lead = f"{self.mark} "
        text = remark(sentence)
        yield from textwrap.wrap(text, _WIDTH, initial_indent=lead, subsequent_indent=lead)


def remark(text: str) -> str:
    """Return text for a remark; a backslash at its end would swallow the next line in C."""
    return printable(text).replace("\\", "/")


def by_section(lines: Iterable[ReferenceLine]) -> Iterator[tuple[str, list[ReferenceLine]]]:
    """Yield every section or command with its lines, in the order in which they come up first."""
    own: dict[str, list[ReferenceLine]] = {}
    for line in lines:
        own.setdefault(line.section, []).append(line)
    yield from own.items()


def keys(section: str, names: str) -> Iterator[LayoutRow]:
    """Yield a row for each of several keys of which the copper decides."""
    yield from (LayoutRow(section, key) for key in names.split())
