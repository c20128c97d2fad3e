"""What the firmware believes, free of style."""

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Literal

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.reading import Lost, NotSent
from pincheck.model.setting import Activity, Setting, StyleName
from pincheck.model.source import Span

Pull = Literal["up", "down", "none"]


@frozen(repr=True)
class Place:
    """One pin of one chip: the board's key in the assembly and the pin's canonical name.

    Without wiring the board is the chip's name as the user wrote it, empty for the main one.
    """

    board: str
    pin: str

    def __str__(self) -> str:
        return f"{self.pin} of {self.board}" if self.board else self.pin


@frozen(repr=True)
class PinValue:
    """A pin as written and the place it means.

    `place` is None for "no pin" (`-1`, `nil`, empty: `absent` is then True) and for a name that
    nothing explains (`unknown` says why). `virtual` marks a pin that is no copper, such as a
    probe standing in for an endstop. `misnamed` says that the firmware knows no pin of that name,
    in any case not as it is written: `place` is then what seems to be meant.
    """

    written: str
    place: Place | None = None
    absent: bool = False
    virtual: bool = False
    unknown: str = ""
    misnamed: bool = False


Lines = tuple[tuple[str, float, Setting], ...]
"""Figures of a user's own sensor: name, value, and the setting that each was read from."""


@frozen(repr=True)
class SensorValue:
    """A sensor as the firmware believes it.

    `sensor` is the catalogue's identifier, empty for one that the user described by figures:
    then `figures` holds them by name and unit (`r25_ohm`, `beta_k`, `c`, or `points` as
    ((temp_c, ohm), ...)), or those of a table of the firmware (`shares` as ((share of full
    scale, temp_c), ...) and `pullup_ohm`), which stands `at` a file and line. `unknown` says why
    neither is known. `lines` are where the user's own figures stand, by their names in the
    vocabulary (`resistance_1`, `beta_k`). `near` is the word that a misspelt one was to be, where
    the firmware refuses what it does not know.
    """

    written: str
    sensor: str = ""
    figures: tuple[tuple[str, float | tuple[tuple[float, float], ...]], ...] = ()
    unknown: str = ""
    at: str = ""
    near: str = ""
    lines: Lines = field(default=(), eq=False, repr=False)


Value = PinValue | SensorValue | float | bool | str


@frozen
class Claim:
    """Role + attribute + value + the setting it came from.

    `setting` is None for what the style's firmware takes when the files say nothing; `origin`
    then says so in words, and `near` is the line beside which the setting would stand.
    `unknown` is not empty where the files do not decide the value; the value is then what was
    written. `caveat` names a file that was not sent and could still say otherwise: what the
    claim contradicts is worth telling, what it agrees with is not certain.
    """

    role: str
    attribute: str
    value: Value
    setting: Setting | None = None
    origin: str = ""
    unknown: str = ""
    caveat: str = ""
    near: Setting | None = field(default=None, eq=False)

    @property
    def span(self) -> Span | None:
        """Where the files say it: the setting, or the one that shows the default."""
        shown = self.setting or self.near
        return shown.span if shown else None

    @property
    def doubt(self) -> str:
        """Why the claim is not certain; empty where it is."""
        if self.unknown:
            return self.unknown
        if self.setting and self.setting.activity is Activity.POSSIBLE:
            return f"{self.setting.name} holds only if {self.setting.condition}"
        return ""

    @property
    def active(self) -> bool:
        """Whether the firmware certainly sees the setting (its value may be unknown still)."""
        return self.setting is None or self.setting.activity is Activity.ACTIVE


@frozen
class Doubt:
    """Why the absence of a claim proves nothing: a file not sent, a default nobody knows.

    `role` and `attribute` empty mean any.
    """

    reason: str
    role: str = ""
    attribute: str = ""


@frozen(slots=False)
class Claims:
    """Every claim of one machine.

    `all` holds at most one active claim for a role and attribute, possible ones beside it;
    only `pin` may have several, for a role that drives or reads several pins, and `watches`.
    `overridden` pairs losers with winners. `lost` are claims of lines that leave nothing behind,
    with the reason. `not_understood` are settings whose keys look
    relevant (heater, fan, probe, sensor, limit words) but are in no vocabulary.
    `elsewhere` are claims of no role: pins that lines name for what is none. `other_board` is the
    line that names another board than the wiring's main one, again a claim of no role.
    `attributes` are those that the style has words for: of others the absence proves itself.
    Empty, they are all. `without_effect` are the (role, attribute) of which no key would count.
    `apart` are files not sent whose names tell that nothing of the wiring is in them.
    `chips` are the names of the chips that the files set up, "0" for the main one.
    `switched_off` says for a role without a claimed pin which line keeps it from having one,
    `commented_out` which line would claim the very pin that it is wired to.
    `later` are claims that differ from these once a script has run that an event starts, `none`
    for a fan that watches nothing any more; they hold at no start-up. `allowed_twice` are pins
    that the files let several settings name.
    """

    style: StyleName
    all: tuple[Claim, ...] = ()
    overridden: tuple[tuple[Claim, Claim], ...] = ()
    lost: tuple[tuple[Claim, Lost], ...] = field(default=())
    doubts: tuple[Doubt, ...] = ()
    not_understood: tuple[Setting, ...] = field(default=())
    not_sent: tuple[NotSent, ...] = ()
    apart: tuple[NotSent, ...] = ()
    attributes: frozenset[str] = field(default=frozenset())
    elsewhere: tuple[Claim, ...] = field(default=())
    other_board: Claim | None = field(default=None)
    without_effect: frozenset[tuple[str, str]] = field(default=frozenset())
    switched_off: Mapping[str, Claim] = field(factory=dict)
    commented_out: Mapping[str, Claim] = field(factory=dict)
    chips: frozenset[str] = field(default=frozenset())
    later: tuple[Claim, ...] = field(default=())
    allowed_twice: frozenset[Place] = field(default=frozenset())

    @cached_property
    def _by_key(self) -> dict[tuple[str, str], Claim]:
        best: dict[tuple[str, str], Claim] = {}
        for claim in self.all:
            key = claim.role, claim.attribute
            if key not in best or (claim.active and not best[key].active):
                best[key] = claim
        return best

    def find(self, role: str, attribute: str) -> Claim | None:
        """Return the active claim, else a possible one, else None."""
        return self._by_key.get((role, attribute))

    def of(self, role: str) -> Iterator[Claim]:
        """Yield every claim of a role."""
        return iter(self._by_role.get(role, ()))

    @cached_property
    def _by_role(self) -> dict[str, list[Claim]]:
        table: dict[str, list[Claim]] = {}
        for claim in self.all:
            table.setdefault(claim.role, []).append(claim)
        return table

    def roles(self) -> frozenset[str]:
        """Return every role that something is claimed of."""
        return frozenset(self._by_role)

    def waits(self, role: str, attribute: str) -> bool:
        """Return whether a line says it that is lost only for want of the thing it speaks of."""
        return any(
            (claim.role, claim.attribute) == (role, attribute)
            for claim, lost in self.lost
            if lost.by is None
        )

    def has_words_for(self, attribute: str) -> bool:
        """Return whether the style can say it at all."""
        return not self.attributes or attribute in self.attributes

    def doubt(self, role: str, attribute: str) -> str:
        """Return why the absence of a claim proves nothing; empty where it does."""
        if not self.has_words_for(attribute):
            return ""
        if (role, attribute) in self.without_effect:
            return ""
        for doubt in self.doubts:
            if doubt.role in ("", role) and doubt.attribute in ("", attribute):
                return doubt.reason
        return ""
