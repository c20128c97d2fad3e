"""The firmware takes the probe the wrong way round.

A probe read the wrong way round is triggered in the air and open on the bed. Homing either stops
at once, high above the bed, or goes on after the probe has touched until the nozzle is pressed
into the bed.
"""

from collections.abc import Iterator

from pincheck.analysis import polarity
from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "sensor_pin: ^PB1", "sensor_pin: ^!PB1")),
    quiet=example("section", ("machine.cfg", "switch_pin: ^!PC3", "switch_pin: !^PC3")),
)
def probe_polarity(case: Case) -> Outcomes:
    """Compare the claimed inversion of every probe with its output's level when triggered."""
    for wired in case.fitted("signal"):
        role = wired.role
        if wired.place is None or case.claims.find(role, "pin") is None:
            continue
        must = polarity.must_invert(wired)
        for attribute, found in (
            ("inverted", polarity.inverted(case, wired)),
            *_homing(case, role),
        ):
            if isinstance(found, Unchecked):
                yield found
            elif must is None:
                yield Unchecked(role, attribute, f"part {wired.part.id} does not say its level")
            elif found[1] == must:
                yield Agreement(role, attribute)
            else:
                yield _finding(case, wired, attribute, must, found[0])


def _homing(case: Case, role: str) -> Iterator[tuple[str, tuple[Claim, bool] | Unchecked]]:
    """Yield what homing takes the line for where the probe is on the end stop's own pin."""
    claim = case.known(role, "homing_inverted")
    if claim is not None:
        said = claim if isinstance(claim, Unchecked) else (claim, bool(claim.value))
        yield "homing_inverted", said


def _finding(case: Case, wired: Wired, attribute: str, must: bool, claim: Claim | None) -> Finding:
    level, role = "low" if must else "high", wired.role
    waits = "homing" if attribute == "homing_inverted" else "the firmware"
    return Finding(
        spots=((role, attribute),),
        message=(
            f"The fitted probe's line goes {level} when it triggers, {waits} waits for "
            f"{'high' if must else 'low'}: it sees a trigger in the air and none on the bed, so "
            f"homing stops at once or presses the nozzle into the bed."
        ),
        claims=tuple(filter(None, (claim or case.claims.find(role, "pin"),))),
        facts=(fact(wired, attribute, f"{level} when triggered"),),
        changes=(Change(role, attribute, must, claim),),
    )
