"""What a wrong mating can do, and how bad each is."""

from collections.abc import Mapping
from typing import Literal

from pincheck.model.frozen import frozen
from pincheck.wiring.plugs import ConnectorKey, Mating

HarmKind = Literal["burns", "heats", "dies", "runs", "strained", "crossed", "dead"]

KINDS: Mapping[HarmKind, str] = {
    "burns": "carries far more than it stands, or shorts a supply",
    "heats": "a heater is on, or regulated by another part's pin or sensor",
    "dies": "gets volts or amperes that destroy it",
    "runs": "runs whatever the firmware does",
    "strained": "carries more than it may for hours",
    "crossed": "hangs where another part belongs",
    "dead": "does nothing",
}
"""What a wrong mating does, worst first."""

DANGEROUS: frozenset[HarmKind] = frozenset(("burns", "heats", "dies"))
"""Kinds after which something has burnt or is destroyed."""


@frozen
class Harm:
    """One thing that a wrong mating does.

    `about` names the part, pin or conductor; `current_a` is what flows there, 0 where that says
    nothing; `pins` are the pairs that do it: what the plug brings, and the pin that it meets.
    """

    kind: HarmKind
    about: str
    text: str
    current_a: float = 0.0
    pins: tuple[str, ...] = ()

    @property
    def rank(self) -> tuple[int, float]:
        """A sort key that puts the worst first."""
        return list(KINDS).index(self.kind), -self.current_a


@frozen
class MatingHarm:
    """One wrong mating with its harms, worst first.

    `same` are other matings that join the very same. `unsolved` says why nothing is known of it.
    """

    mating: Mating
    harms: tuple[Harm, ...]
    same: tuple[Mating, ...] = ()
    unsolved: str = ""

    @property
    def matings(self) -> tuple[Mating, ...]:
        """All matings that do this."""
        return self.mating, *self.same

    @property
    def dangerous(self) -> bool:
        """Whether it can burn or destroy something."""
        return any(harm.kind in DANGEROUS for harm in self.harms)

    @property
    def prevented(self) -> bool:
        """Whether something keeps each of these matings from happening."""
        return all(mating.prevented_by for mating in self.matings)

    @property
    def rank(self) -> tuple[bool, tuple[tuple[int, float], ...], ConnectorKey, str]:
        """A sort key: what nothing prevents first, then the worst."""
        worst = tuple(harm.rank for harm in self.harms) or ((len(KINDS), 0.0),)
        return self.prevented, worst, self.mating.connector, self.mating.how
