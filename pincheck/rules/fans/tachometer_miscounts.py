"""The firmware miscounts the turns of a fan.

It divides the pulses of a tachometer by those of one turn: with a wrong number the speed shown is
wrong by the same factor, and so is every limit on it. Where it looks at the line from time to time
it must see each half of every pulse, or it misses pulses of a fan that runs fast, and calls a
sound fan slow.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, fact, part_of, value
from pincheck.analysis.tachometer import longest_poll, rounded_down_s
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Input, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.rules.fans.third_wire import tachometer
from pincheck.rules.rule import Outcomes, example, rule

_SAME = Threshold(
    0.01, "share", "pulses a turn that the firmware counts off those that the fan gives",
    "common practice", below="agrees", above="advice: the shown speed is wrong by as much",
)  # fmt: skip


@rule(
    Severity.FAULT,
    source="sampling theorem; pulses and speed of the fitted part",
    fires=example("section", *tachometer("tachometer_pin: ^PC6\ntachometer_poll_interval: 0.004")),
    quiet=example("section", *tachometer("tachometer_pin: ^PC6\ntachometer_poll_interval: 0.001")),
    thresholds=(_SAME,),
)
def tachometer_miscounts(case: Case) -> Outcomes:
    """Compare pulses and polling of every tachometer with what the fan gives."""
    for wired in case.fitted("tachometer"):
        if case.claims.find(wired.role, "pin") is None:
            continue
        for attribute, judge in (("pulses", _pulses), ("poll_s", _poll)):
            known = case.known(wired.role, attribute)
            if isinstance(known, Unchecked):
                yield known
            elif known:
                yield judge(wired, known)


def _pulses(wired: Wired, claim: Claim) -> Finding | Agreement | Unchecked:
    gives, counts = wired.signal.pulses, value(claim)
    if gives is None:
        return Unchecked(wired.role, "pulses", f"part {wired.part.id} gives no pulses of one turn")
    if abs(counts - gives) <= _SAME * gives:
        return Agreement(wired.role, "pulses")
    fan = roles.name(wired.role)
    return Finding(
        severity=Severity.ADVICE,
        spots=((wired.role, "pulses"),),
        message=(
            f"The {fan} gives {gives:g} pulses a turn, and the firmware takes {counts:g} for one: "
            f"the speed shown is {gives / counts:.3g} times the real one."
        ),
        claims=(claim,),
        facts=(fact(wired, "pulses", f"{gives:g} pulses a turn"),),
        numbers=(
            Number(
                "speed shown over real speed",
                gives / counts,
                "",
                "pulses of one turn / those that are taken for one",
                (Input("pulses of one turn", gives, "pulses", part_of(wired)), claimed(claim)),
                "counting",
            ),
        ),
        changes=(Change(wired.role, "pulses", gives, claim),),
    )


def _poll(wired: Wired, claim: Claim) -> Finding | Agreement | Unchecked:
    longest, poll_s = longest_poll(wired), value(claim)
    if isinstance(longest, str):
        return Unchecked(wired.role, "poll_s", longest)
    if poll_s <= longest.value:
        return Agreement(wired.role, "poll_s")
    rpm = wired.part.speed_rpm
    return Finding(
        spots=((wired.role, "poll_s"),),
        message=(
            f"The firmware looks at the {roles.name(wired.role)} every {1000 * poll_s:.3g} ms, and "
            f"at {rpm:g} turns a minute half a pulse may last only {1000 * longest.value:.3g} ms: "
            f"pulses are missed, and a sound fan is taken for a slow one."
        ),
        claims=(claim,),
        facts=(fact(wired, "poll_s", f"{rpm:g} turns a minute"),),
        numbers=(longest,),
        changes=(Change(wired.role, "poll_s", rounded_down_s(longest.value), claim),),
    )
