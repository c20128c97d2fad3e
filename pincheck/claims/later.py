"""What the machine believes after scripts that events start, where that differs from start-up."""

from collections.abc import Iterable, Iterator

from attrs import evolve

from pincheck.claims.interpretation import Interpretation
from pincheck.claims.shown import text_of
from pincheck.model.claim import Claim
from pincheck.model.setting import Setting


def later_claims(
    machine: Interpretation, settings: Iterable[Setting], now: Iterable[Claim], then: list[Claim]
) -> Iterator[Claim]:
    """Yield each claim that `settings` change from `now` to `then`, at the line that does so.

    `machine` is the one after them. A claim that is gone is a fan's that watches no heater.
    """
    lines: dict[tuple[str, str], Setting] = {}
    for match in machine.matches_of_all(settings):
        for role, _ in machine.roles(match.entry, match.groups, text_of(match.setting)):
            lines[role, match.entry.attribute] = lines[role, ""] = match.setting
    before = {(c.role, c.attribute): c for c in now if c.active}
    after = {(c.role, c.attribute): c for c in then if c.active}
    for spot in before | after:
        line = lines.get(spot) or lines.get((spot[0], ""))
        was, comes = before.get(spot), after.get(spot)
        if line is None or (was and comes and was.value == comes.value):
            continue
        if comes:
            yield evolve(comes, setting=comes.setting or line)
        elif spot[1] == "watches":
            yield Claim(*spot, "none", line)
