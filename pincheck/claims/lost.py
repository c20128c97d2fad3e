"""What commands would claim that leave nothing behind."""

from collections.abc import Iterable, Iterator

from attrs import evolve

from pincheck.claims.convert import read
from pincheck.claims.interpretation import Interpretation, Match, thing_of
from pincheck.claims.shown import Shown, all_hold, text_of
from pincheck.model.claim import Claim
from pincheck.model.reading import Lost
from pincheck.model.setting import Activity


def lost_claims(machine: Interpretation, kept: Iterable[Claim]) -> Iterator[tuple[Claim, Lost]]:
    """Yield each claim that a lost setting would make, unless it holds all the same.

    What came too early and is said once more, whatever its value, takes nothing away.
    """
    settings = machine.reading.settings
    again = {(s.section, s.key) for s in settings if s.activity is Activity.ACTIVE}
    holds = {(c.role, c.attribute, c.value) for c in kept if not c.doubt}
    why = {id(lost.setting): lost for lost in machine.reading.lost}
    # What one letter needs of another, the lost line itself may say.
    said = [evolve(lost.setting, activity=Activity.ACTIVE) for lost in machine.reading.lost]
    shown = Shown(said, conditions=machine.vocabulary.conditions)
    for match in machine.lost:
        lost = why[id(match.setting)]
        early = lost.by is not None and not lost.afresh
        if early and (match.setting.section, match.setting.key) in again:
            continue
        for claim in _claims(machine, match, shown):
            if (claim.role, claim.attribute, claim.value) not in holds:
                yield evolve(claim, setting=match.setting), lost


def _claims(machine: Interpretation, match: Match, shown: Shown) -> Iterator[Claim]:
    entry, setting = match.entry, match.setting
    thing = thing_of(entry, match.groups)
    if entry.link and thing and thing[0] == "servo":
        # only a probe has a servo
        yield Claim("probe.servo", "servo_number", float(thing[1]))
    if entry.attribute:
        text, section = text_of(setting), setting.section
        for role, groups in machine.roles(entry, match.groups, text):
            if all_hold(shown, entry.needs, section, groups)[0]:
                yield from read(machine, entry, role, groups, text, section, setting)


def replaced(
    lost: Iterable[tuple[Claim, Lost]], kept: Iterable[Claim]
) -> Iterator[tuple[Claim, Claim]]:
    """Yield the claims from before an object was set up afresh, each with what replaces it."""
    now = {(c.role, c.attribute): c for c in kept if c.active and c.setting}
    for claim, why in lost:
        winner = now.get((claim.role, claim.attribute))
        if why.afresh and winner:
            yield claim, winner
