"""A normal warm-up trips the thermal protection.

The firmware expects a rise within a time. A heavy bed or a weak heater cannot make it, though
nothing is wrong, and the machine stops with a heating fault. More time is right then, but it also
means that a real fault is noticed later.
"""

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, origin, value
from pincheck.analysis.heater_faults import time_to_cut
from pincheck.analysis.heater_scene import Scene, scene, with_more_power
from pincheck.analysis.over_the_band import over_the_band
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.physics.protection import FaultOutcome as Answer
from pincheck.physics.protection import false_trip_warm_up
from pincheck.rules.rule import Outcomes, example, rule

_TUNE = "Let the firmware measure its heater model again, with the parts as they are now."
_LONGER = (1.5, 2.0, 3.0, 4.0, 6.0, 9.0, 12.0)
_SMALL_CAP = 0.3
"""A cap that may keep a heater from its target, of which the watch tells only if it trips."""
_USUAL_S = (20, 60)
"""Watch times that firmware takes by itself for a hot end and a bed (from memory)."""


@rule(
    Severity.FAULT,
    source="lumped thermal model in closed form, the firmware's own protection settings",
    fires=example("section", ("machine.cfg", "#max_power: 0.8", "max_power: 0.15")),
    quiet=example("section", ("machine.cfg", "#max_power: 0.8", "max_power: 0.8")),
)
def false_trip_at_warm_up(case: Case) -> Outcomes:
    """Warm each protected heater up from ambient to an ordinary print."""
    for wired in case.fitted("heater"):
        found = scene(case, wired)
        if isinstance(found, str):
            yield Unchecked(wired.role, "watch_period_s", found)
            continue
        answer = _warm_up(found)
        judged = answer.unknown or over_the_band(found, _passes)
        if isinstance(judged, str):
            yield Unchecked(wired.role, found.watched_by, judged)
            full = evolve(found, heater=evolve(found.heater, duty=1.0))
            if found.heater.duty < _SMALL_CAP and over_the_band(full, _passes) is True:
                yield Unchecked(wired.role, "max_power", judged)
        elif judged:
            yield Agreement(wired.role, found.watched_by)
        else:
            yield _finding(found, answer if answer.trips else _warm_up(found.slow))


def _passes(found: Scene) -> bool:
    return not _warm_up(found).trips


def _warm_up(found: Scene) -> Answer:
    watts = found.heater.power_w
    return false_trip_warm_up(found.block, watts, found.at_c, found.protection, found.ambient_c)


def _finding(found: Scene, answer: Answer) -> Finding:
    role = found.wired.role
    cut = time_to_cut(found, answer, cold=True)
    after = answer.cut_after_s or 0.0
    raised = with_more_power(found, lambda it: _passes(it.slow))
    cap = found.heater.cap if raised else None
    capped = f" ({found.heater.duty:.0%} of its power)" if cap else ""
    return Finding(
        spots=((role, found.watched_by),),
        message=(
            f"Warming up to {found.at_c:.0f} C with {found.heater.power_w:.0f} W{capped} is slower "
            f"than the firmware expects: it stops with a heating fault of the {roles.name(role)} "
            f"after {after:.0f} s."
        ),
        claims=(
            *((cap,) if cap else ()),
            *sorted(found.rising, key=lambda claim: claim.attribute != found.watched_by),
        ),
        facts=(fact(found.wired, found.watched_by, f"{found.heater.power_w:.0f} W"),),
        numbers=tuple(evolve(number, name="time to the false alarm") for number in cut),
        changes=raised or _change(found),
        advice=_TUNE if found.protection.kind == "model" else "",
    )


def _change(found: Scene) -> tuple[Change, ...]:
    if found.protection.kind == "model":
        return ()
    claim = next((c for c in found.claims if c.attribute == "watch_period_s"), None)
    longest = [round(value(claim) * factor) for factor in _LONGER] if claim else []
    for longer in sorted({*longest, *(s for s in _USUAL_S if claim and s > value(claim))}):
        tried = evolve(found.protection, watch_period_s=float(longer))
        if claim and _passes(evolve(found.slow, protection=tried)):
            weakens = f"watch time raised from {value(claim):g} s ({origin(claim)}) to {longer} s"
            return (Change(found.wired.role, "watch_period_s", float(longer), claim, weakens),)
    return ()
