"""The highest settable temperature is more than the weakest part stands.

A mistyped or sliced-in temperature is only stopped by the firmware's limit. It belongs at or
below what the weakest thing in the hot end or bed stands: liner, block, sensor, heater or
surface. Some firmware keeps a margin below its limit, which counts. Liners soften from 240 C on,
the best at 260, and magnets of plates let go from 80 C on, the best at 120: where the wiring states
none of its own, a limit within such a span is neither right nor wrong.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, stated, value
from pincheck.analysis.weakest_limit import (
    MARGIN_C,
    TemperatureBound,
    beyond,
    bounds,
    depends,
    weakest,
)
from pincheck.model.claim import Claim
from pincheck.model.finding import (
    Agreement,
    Change,
    Fact,
    Finding,
    Input,
    Number,
    Severity,
    Unchecked,
)
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="limits that the wiring description states for its parts",
    fires=example("section", ("toolhead.cfg", "max_temp: 255", "max_temp: 285")),
    quiet=example("section", ("toolhead.cfg", "max_temp: 255", "max_temp: 260")),
)
def heater_limit_too_high(case: Case) -> Outcomes:
    """Compare limit less margin with the lowest of the group's bounds."""
    for role in case.roles:
        if roles.function(role) != "heater":
            continue
        limit, margin = case.known(role, "max_c"), case.known(role, "overshoot_c")
        doubt = next((known for known in (limit, margin) if isinstance(known, Unchecked)), None)
        group = role.split(".")[0]
        found = weakest(case, group)
        if doubt or not isinstance(limit, Claim):
            if case.trace.find(role):
                reason = doubt.reason if doubt else "the files set no highest temperature"
                yield Unchecked(role, "max_c", reason)
            continue
        settable = stated(limit) - (value(margin) if isinstance(margin, Claim) else 0.0)
        if found and settable > found[1].max_c:
            yield _finding(role, limit, margin if isinstance(margin, Claim) else None, *found)
        elif found and settable > found[0].max_c:
            reason = f"whether {settable:.0f} C is too much {depends(found[0], group)}"
            yield Unchecked(role, "max_c", reason)
        elif any(bound.whole for bound in bounds(case, group)):
            yield Agreement(role, "max_c")
        else:
            yield Unchecked(role, "max_c", "the wiring states no limit of the heated part")


def _finding(
    role: str,
    limit: Claim,
    margin: Claim | None,
    least: TemperatureBound,
    weakest: TemperatureBound,
) -> Finding:
    spare = value(margin) if margin else 0.0
    settable, mine = stated(limit) - spare, roles.name(role)
    open_ = least.max_c < weakest.max_c
    number = Number(
        "highest settable temperature",
        settable,
        "C",
        "limit - margin" if margin else "limit",
        (
            claimed(limit),
            *((claimed(margin),) if margin else ()),
            Input("weakest part stands", weakest.max_c, "C", weakest.origin),
        ),
        "the firmware's own margin",
    )
    return Finding(
        spots=((role, "max_c"),),
        message=(
            f"Firmware lets the {mine} go to {settable:.0f} C, {settable - weakest.max_c:.0f} K "
            f"more than the {weakest.what} stands ({weakest.max_c:.0f} C): {beyond(weakest.what)}."
        ),
        claims=(limit, *((margin,) if margin else ())),
        facts=(Fact(role, "max_c", f"{weakest.what}: {weakest.max_c:.0f} C", at=weakest.at),),
        numbers=(number,),
        changes=(Change(role, "max_c", least.max_c - MARGIN_C + spare, limit),),
        advice=f"What it may be {depends(least, role.split('.')[0])}." if open_ else "",
    )
