"""What rules yield, what a check comes to, and the edits that are offered for it."""

from collections.abc import Iterator
from enum import IntEnum
from typing import Literal

from attrs import field

from pincheck.model.claim import Claim, Claims, Value
from pincheck.model.frozen import frozen
from pincheck.model.path import Path, Trace
from pincheck.model.problem import Problem
from pincheck.model.reading import Reading
from pincheck.model.role import order
from pincheck.model.source import Span
from pincheck.model.wiring import Assembly


class Severity(IntEnum):
    """How bad; greater is worse."""

    ADVICE = 1
    """Works, but could be better."""
    FAULT = 2
    """Will not work."""
    DANGER = 3
    """Can burn, injure or destroy."""

    @property
    def word(self) -> str:
        """The severity in lower case."""
        return self.name.lower()


class Moment(IntEnum):
    """When a finding strikes, the first moment of a machine first."""

    SWITCH_ON = 1
    """With the power, or as soon as the firmware runs."""
    HEATING = 2
    HOMING = 3
    PRINTING = 4

    @property
    def words(self) -> str:
        """The moment as it stands in a sentence."""
        return ("at switch-on", "while heating", "while homing", "in a print")[self - 1]


@frozen
class Fact:
    """Role + attribute + value in words + the path through the wiring that makes it so."""

    role: str
    attribute: str
    value: str
    path: Path | None = None
    at: Span | None = field(default=None, eq=False)


@frozen
class Input:
    """A figure that a number was computed from; `origin` is a file and line, part or data sheet."""

    name: str
    value: float | str
    unit: str
    origin: str


@frozen
class Number:
    """A computed figure with its derivation."""

    name: str
    value: float
    unit: str
    formula: str
    inputs: tuple[Input, ...] = ()
    source: str = ""


@frozen
class Change:
    """What would make configuration and wiring agree, free of style.

    `claim` is the one to replace, None for a setting to add; `value` is None where its line, of no
    effect, is to go. `weakens` says in words what
    protection gets weaker or which heater limit goes up; empty where none does. Changes of one
    finding belong together and are applied together.
    """

    role: str
    attribute: str
    value: Value | None
    claim: Claim | None = None
    weakens: str = ""


@frozen
class Finding:
    """A contradiction or hazard.

    `message` is one sentence (two at most) saying what would physically happen, with numbers.
    `spots` are (role, attribute) of the verdicts that it contradicts, the first one the main.
    """

    spots: tuple[tuple[str, str], ...]
    message: str
    rule: str = ""
    severity: Severity = field(default=None)
    when: Moment = field(default=None)
    """The three are stamped where rules are run: a rule states only what is unusual."""
    claims: tuple[Claim, ...] = ()
    facts: tuple[Fact, ...] = ()
    numbers: tuple[Number, ...] = ()
    changes: tuple[Change, ...] = ()
    advice: str = ""
    """What to do where no edit can help (re-plug, fit another part)."""
    effects: tuple["Finding", ...] = ()
    """What follows from it, and goes when it is mended: told beneath it, not beside it."""

    @property
    def role(self) -> str:
        """The role it is about first of all."""
        return self.spots[0][0]

    @property
    def roles(self) -> tuple[str, ...]:
        """Every role named, in order, once."""
        return tuple(dict.fromkeys(role for role, _ in self.spots))

    @property
    def all(self) -> tuple["Finding", ...]:
        """It and what follows from it."""
        return self, *self.effects

    @property
    def span(self) -> Span | None:
        """The configuration's line, else the wiring's."""
        claimed = next((claim.span for claim in self.claims if claim.span), None)
        return claimed or next((fact.at for fact in self.facts if fact.at), None)


@frozen
class Agreement:
    """A rule compared claim and fact of this spot and found them to agree."""

    role: str
    attribute: str


@frozen
class Unchecked:
    """A rule could not evaluate this spot."""

    role: str
    attribute: str
    reason: str


Outcome = Finding | Agreement | Unchecked
VerdictState = Literal["agrees", "contradicts", "not checked"]


@frozen
class Verdict:
    """The state of one role and attribute.

    `reason` says why it was not checked; `findings` are those that contradict. `so_far` is one
    not checked that agrees as far as the files were sent.
    """

    role: str
    attribute: str
    state: VerdictState
    reason: str = ""
    findings: tuple[Finding, ...] = ()
    so_far: bool = False

    @property
    def severity(self) -> Severity | None:
        """The worst severity of its findings, None where there are none."""
        return max((finding.severity for finding in self.findings), default=None)


@frozen
class WiringSlip:
    """One change of the wiring that removes most findings: the likeliest cause of them all.

    `message` says what it looks like and what mends it; `removes` are findings of the result, of
    the `among` that speak of pins and copper. `hidden` counts what then shows that it hid.
    """

    message: str
    mend: str
    removes: tuple[Finding, ...]
    among: int
    hidden: int = 0
    at: Span | None = field(default=None, eq=False)


@frozen(slots=False)
class Result:
    """What one check came to: everything a report, a screen or an edit needs.

    `findings` are sorted by when they strike, worst first within a moment, then by role and place.
    `unjudged` are the spots without which "nothing found" does not mean that a machine may be
    switched on.
    """

    machine: str
    assembly: Assembly
    trace: Trace
    reading: Reading
    claims: Claims
    findings: tuple[Finding, ...]
    verdicts: tuple[Verdict, ...]
    problems: tuple[Problem, ...] = ()
    unjudged: tuple[Verdict, ...] = ()
    slip: WiringSlip | None = None
    plug_danger: str = ""
    """Which plug can destroy something when it goes on wrong, and what prevents it. Both are sought
    only where a report asks for them: they take a few checks and solutions."""

    def count(self, severity: Severity) -> int:
        """Return how many findings have this severity."""
        return sum(finding.severity is severity for finding in self.findings)

    def tally(self, state: VerdictState) -> int:
        """Return how many verdicts have this state."""
        return sum(verdict.state == state for verdict in self.verdicts)

    def roles(self) -> tuple[str, ...]:
        """Return every role with a verdict, in table order."""
        return tuple(sorted({verdict.role for verdict in self.verdicts}, key=order))

    def of(self, role: str, attribute: str) -> Iterator[Verdict]:
        """Yield the verdicts of one spot (none or one)."""
        return (v for v in self.verdicts if (v.role, v.attribute) == (role, attribute))


@frozen
class Edit:
    """A replacement of the characters `start` to `end` of one source."""

    source: str
    start: int
    end: int
    replacement: str


@frozen
class Proposal:
    """The edits that remove one finding, applied together or not at all.

    `note` says in words what is done; its first word names a raised limit or a weakened
    protection, and `safe` is then False. `blocked` says why no edit can be made.
    """

    finding: Finding
    edits: tuple[Edit, ...] = ()
    note: str = ""
    safe: bool = True
    blocked: str = ""
