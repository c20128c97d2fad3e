"""What the rules about the hot-end fan's control share."""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import pairings
from pincheck.analysis.weakest_limit import bounds
from pincheck.model.claim import Claim
from pincheck.model.finding import Severity
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired

USUAL_C = 50.0
"""The threshold that a hot-end fan gets (`common practice`)."""


@frozen
class Driven:
    """A fitted hot-end fan and the role under which the firmware drives its pin.

    That is its own one, a spare output of the user's (`aux.fan`) that was put on its pin, or a
    board's fan or a plain output there.
    """

    wired: Wired
    by: str
    pin: Claim


def standing_still(case: Case, fan_role: str) -> Severity:
    """Return how bad a hot-end fan is that does not turn: it cooks a liner, without one it jams."""
    group = fan_role.partition(".")[0]
    lined = any("liner" in bound.what for bound in bounds(case, group))
    return Severity.DANGER if lined else Severity.FAULT


def hotend_fans(case: Case) -> Iterator[Driven]:
    """Yield each fitted hot-end fan that the firmware has a certain pin for."""
    paired = pairings(case)
    for wired in case.fitted("fan"):
        if roles.family(wired.role) != "hotend.fan":
            continue
        own = next((p for p in paired if p.role == wired.role), None)
        spare = (
            pairing
            for pairing in paired
            if pairing.place == wired.place
            and (
                pairing.kind == "agrees"
                or roles.family(pairing.role) == "controller.fan"
                or roles.function(pairing.role) == "output"
            )
        )
        found = own or next(spare, None)
        if found:
            yield Driven(wired, found.role, found.claim)
