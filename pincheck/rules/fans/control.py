"""What the rules about the hot-end fan's control share."""

from collections.abc import Iterator

from pincheck.model.claim import Claim, PinValue
from pincheck.model.path import Wired
from pincheck.rules import words
from pincheck.rules.base import Case


def configured_hotend_fans(case: Case) -> Iterator[Wired]:
    """Yield each fitted hot-end fan that the firmware has a pin for."""
    for wired in case.fitted("fan"):
        claim = case.known(wired.role, "pin")
        if words.family(wired.role) != "hotend.fan" or not isinstance(claim, Claim):
            continue
        if isinstance(claim.value, PinValue) and not claim.value.absent:
            yield wired
