"""A lowest duty at which the fan does not start."""

from collections.abc import Iterator

from pincheck.model.claim import Claim
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Input,
    Number,
    Outcome,
    Severity,
    Unchecked,
)
from pincheck.physics.fan import start
from pincheck.rules import words
from pincheck.rules.base import Case, claimed, example, fact, part_of, rule, value


@rule(
    id="fan-min-duty-too-low",
    severity=Severity.ADVICE,
    title="At its lowest duty the fan does not start",
    reason=(
        "A fan needs a certain duty to start from rest. Where the firmware's own minimum is below "
        "that and no kick at full power starts it, low settings leave it standing, though the "
        "firmware shows it as running."
    ),
    source="lowest duty of the fitted part",
    failing=example(
        "section",
        ("clean/section/toolhead.cfg", "off_below: 0.20", "off_below: 0.05"),
        ("clean/section/toolhead.cfg", "kick_start_time: 0.3", "kick_start_time: 0"),
    ),
    passing=example(
        "section", ("clean/section/toolhead.cfg", "off_below: 0.20", "off_below: 0.05")
    ),
)
def fan_min_duty_too_low(case: Case) -> Iterator[Outcome]:
    """Compare each claimed minimum duty with the one that the fitted fan needs."""
    for wired in case.fitted("fan"):
        role, needs = wired.role, wired.part.min_duty
        lowest, kick = case.known(role, "min_duty"), case.known(role, "kick_start_s")
        if isinstance(lowest, Unchecked):
            yield lowest
        elif needs is None and isinstance(lowest, Claim):
            yield Unchecked(role, "min_duty", f"part {wired.part.id} gives no lowest duty")
        elif needs is not None and isinstance(lowest, Claim) and not isinstance(kick, Unchecked):
            given = value(lowest)
            if given == 0:
                continue
            if start(given, needs, value(kick) if kick else 0.0) != "may stand still":
                yield Agreement(role, "min_duty")
                continue
            yield Finding(
                rule="fan-min-duty-too-low",
                severity=Severity.ADVICE,
                spots=((role, "min_duty"),),
                message=(
                    f"The {words.name(role)} needs {needs:.0%} to start and the firmware lets it "
                    f"go down to {given:.0%}: it stands still while it is shown as running."
                ),
                claims=(lowest,),
                facts=(fact(wired, "min_duty", f"{needs:.0%}"),),
                numbers=(
                    Number(
                        "duty missing to start",
                        needs - given,
                        "",
                        "duty needed - lowest duty",
                        (claimed(lowest), Input("duty needed", needs, "", part_of(wired))),
                        "data sheet of the part",
                    ),
                ),
                changes=(Change(role, "min_duty", needs, lowest),),
            )
