"""A setting is made twice with different values.

Only the last one counts. Whoever reads or edits the first one is misled, and an edit there
changes nothing. Values that the firmware itself saved over the file are left out, and so is what
a file sets anew over one that it includes or calls.
"""

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Change, Finding, Severity
from pincheck.rules.rule import Outcomes, example, rule

_SAVED = "#*#"
_SAVED_FILE = "config-override.g"


@rule(
    Severity.ADVICE,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "min_temp: 0", "min_temp: 5\nmin_temp: 0")),
    quiet=example("section", ("toolhead.cfg", "min_temp: 0", "min_temp: 0\nmin_temp: 0")),
)
def duplicate_setting(case: Case) -> Outcomes:
    """Name the lines that a later one overrides with another value."""
    for winner, losers in _overridden(case).values():
        earlier = roles.listed([f"{_text(loser)} at {origin(loser)}" for loser in losers])
        lines = roles.listed([origin(loser) for loser in losers])
        times = "twice" if len(losers) == 1 else f"{len(losers) + 1} times"
        yield Finding(
            spots=((winner.role, winner.attribute),),
            message=(
                f"The {ATTRIBUTES[winner.attribute].words} of the {roles.name(winner.role)} is set "
                f"{times}: {earlier} {'is' if len(losers) == 1 else 'are'} overridden by "
                f"{_text(winner)} at {origin(winner)}."
            ),
            claims=(winner, *losers),
            changes=tuple(Change(loser.role, loser.attribute, None, loser) for loser in losers),
            advice=f"Take out the line at {lines}.",
        )


def _overridden(case: Case) -> dict[str, tuple[Claim, list[Claim]]]:
    """Return each line that counts and the claims of lines before it that do not.

    Files of two styles are read over one another on purpose: what a later one sets anew is meant.
    """
    found: dict[str, tuple[Claim, list[Claim]]] = {}
    named: set[tuple[str, str]] = set()
    for loser, winner in case.claims.overridden:
        lines = origin(loser), origin(winner)
        if lines in named or _same(loser, winner) or not (_by_hand(loser) and _by_hand(winner)):
            continue
        if styles.of(case.claims.style).files_override and _file(loser) != _file(winner):
            continue
        named.add(lines)
        found.setdefault(lines[1], (winner, []))[1].append(loser)
    return found


def _file(claim: Claim) -> str:
    return claim.setting.source.name if claim.setting else ""


def _same(loser: Claim, winner: Claim) -> bool:
    """Return whether one says nothing against the other: the same pin, or none yet."""
    first, second = loser.value, winner.value
    if isinstance(first, PinValue) and isinstance(second, PinValue):
        return first.absent or (first.place == second.place and first.place is not None)
    return first == second


def _by_hand(claim: Claim) -> bool:
    if claim.setting is None or claim.setting.source.name.endswith(_SAVED_FILE):
        return False
    return not claim.setting.source.line(claim.setting.span.line).startswith(_SAVED)


def _text(claim: Claim) -> str:
    assert claim.setting is not None
    return claim.setting.value or "no value"
