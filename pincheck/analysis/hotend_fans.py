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


def standing_still(case: Case, *roles_: str) -> Severity:
    """Return how bad it is that these do not work: no fan cooks the liner of a hot end with one."""
    fans = (role for role in roles_ if roles.family(role) == "hotend.fan")
    cooked = any("liner" in b.what for fan in fans for b in bounds(case, fan.partition(".")[0]))
    return Severity.DANGER if cooked else Severity.FAULT


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
