"""A setting made twice with different values."""

from collections.abc import Iterator

from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Finding, Outcome, Severity
from pincheck.rules import words
from pincheck.rules.base import Case, example, origin, rule

_SAVED = "#*#"
_SAVED_FILE = "config-override.g"


@rule(
    id="duplicate-setting",
    severity=Severity.ADVICE,
    title="A setting is made twice with different values",
    reason=(
        "Only the last one counts. Whoever reads or edits the first one is misled, and an edit "
        "there changes nothing. Values that the firmware itself saved over the file are left out."
    ),
    source="common practice",
    failing=example(
        "section", ("clean/section/toolhead.cfg", "min_temp: 0", "min_temp: 5\nmin_temp: 0")
    ),
    passing=example(
        "section", ("clean/section/toolhead.cfg", "min_temp: 0", "min_temp: 0\nmin_temp: 0")
    ),
)
def duplicate_setting(case: Case) -> Iterator[Outcome]:
    """Name both lines of each pair whose values differ."""
    named: set[tuple[str, str]] = set()
    for loser, winner in case.claims.overridden:
        if _same(loser, winner) or not _by_hand(loser) or not _by_hand(winner):
            continue
        lines = origin(loser), origin(winner)
        if lines in named:
            continue
        named.add(lines)
        what = ATTRIBUTES[winner.attribute].words
        yield Finding(
            rule="duplicate-setting",
            severity=Severity.ADVICE,
            spots=((winner.role, winner.attribute),),
            message=(
                f"The {what} of the {words.name(winner.role)} is set twice: "
                f"{_text(loser)} at {origin(loser)} is overridden by {_text(winner)} at "
                f"{origin(winner)}."
            ),
            claims=(winner, loser),
            advice=f"Take out the line at {origin(loser)}.",
        )


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
