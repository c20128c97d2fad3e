"""What commands would claim that leave nothing behind."""

from collections.abc import Iterable, Iterator

from pincheck.claims.convert import claims_of
from pincheck.claims.interpretation import Interpretation, thing_of
from pincheck.model.claim import Claim
from pincheck.model.reading import Lost


def lost_claims(machine: Interpretation, kept: Iterable[Claim]) -> Iterator[tuple[Claim, Lost]]:
    """Yield each claim that a lost setting would make, unless it holds all the same."""
    holds = {(c.role, c.attribute, c.value) for c in kept if not c.doubt}
    why = {id(lost.setting): lost for lost in machine.reading.lost}
    for match in machine.lost:
        thing = thing_of(match.entry, match.groups)
        claims = list(claims_of(machine, match))
        if match.entry.link and thing and thing[0] == "servo":
            # only a probe has a servo
            claims = [Claim("probe.servo", "servo_number", float(thing[1]), match.setting)]
        for claim in claims:
            if (claim.role, claim.attribute, claim.value) not in holds:
                yield claim, why[id(match.setting)]


def replaced(
    lost: Iterable[tuple[Claim, Lost]], kept: Iterable[Claim]
) -> Iterator[tuple[Claim, Claim]]:
    """Yield the claims from before an object was set up afresh, each with what replaces it."""
    now = {(c.role, c.attribute): c for c in kept if c.active and c.setting}
    for claim, why in lost:
        winner = now.get((claim.role, claim.attribute))
        if why.afresh and winner:
            yield claim, winner
