"""A heater that comes loose is not noticed.

A cartridge that slips out of its block heats itself alone: within a minute it glows, beside
plastic and wires, while the block cools. A mat that comes off its plate does not glow, but chars.
Every protection takes some seconds to tell the falling temperature. One that has not told it when
the block has lost 99 % of its heat, after five time constants, will learn nothing more: it is no
protection.
"""

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_faults import (
    SOURCE,
    SPENT_TAUS,
    in_the_open,
    loose,
    time_to_cut,
    unnoticed,
)
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.over_the_band import over_the_band
from pincheck.analysis.protection_settings import HOLDING
from pincheck.analysis.usual_settings import tightened
from pincheck.model.finding import Agreement, Finding, Number, Severity, Unchecked
from pincheck.physics.protection import FaultOutcome as Answer
from pincheck.rules.rule import Outcomes, example, rule

_FILE = "machine.cfg"


@rule(
    Severity.DANGER,
    source="lumped thermal model in closed form, the firmware's own protection settings",
    fires=example(
        "section",
        (_FILE, "#max_power: 0.8", "max_power: 0.4"),
        (_FILE, "hysteresis: 5", "hysteresis: 36"),
    ),
    quiet=example(
        "section",
        (_FILE, "#max_power: 0.8", "max_power: 0.4"),
        (_FILE, "hysteresis: 5", "hysteresis: 15"),
    ),
    thresholds=(SPENT_TAUS,),
)
def heater_loose_unnoticed(case: Case) -> Outcomes:
    """Let each protected heater come loose in an ordinary print."""
    for wired in case.fitted("heater"):
        found = scene(case, wired)
        if isinstance(found, str):
            continue
        judged = over_the_band(found, _noticed, _ends(found))
        if isinstance(judged, str):
            yield Unchecked(wired.role, "trip_hysteresis_c", judged)
        elif judged:
            yield Agreement(wired.role, "trip_hysteresis_c")
        else:
            yield _finding(found, loose(found, found.protection))


def _noticed(found: Scene) -> bool:
    return not unnoticed(found, loose(found, found.protection))


def _ends(found: Scene) -> tuple[Scene, Scene]:
    """Return what cools soonest and latest: only heat capacity over loss counts."""
    light, heavy = found.heated.light, found.heated.heavy
    soon = evolve(light, loss_w_k=heavy.loss_w_k)
    return found.of(soon), found.of(evolve(heavy, loss_w_k=light.loss_w_k))


def _finding(found: Scene, answer: Answer) -> Finding:
    role, after, block = found.wired.role, answer.cut_after_s, found.block
    spent = SPENT_TAUS * block.tau_s
    when = (
        "nothing ever cuts it"
        if after is None
        else f"it is cut after {after:.0f} s, long after the {roles.heated(role)} went cold"
    )
    return Finding(
        spots=((role, "trip_hysteresis_c"),),
        message=(
            f"If the {roles.name(role)} comes loose at {found.at_c:.0f} C, {when}: the firmware "
            f"feeds {found.heater.power_w:.0f} W to a heater that {in_the_open(found)}."
        ),
        claims=found.holding,
        numbers=(
            Number(
                f"99 % of the heat of the {roles.heated(role)} is gone after",
                spent,
                "s",
                f"{SPENT_TAUS:g} C / G",
                found.inputs(),
                SOURCE,
            ),
            *time_to_cut(found, answer),
        ),
        changes=tightened(
            found,
            HOLDING[found.protection.kind],
            lambda it, tried: not unnoticed(it, loose(it, tried)),
        ),
        advice=f"Clamp the {roles.name(role)} so that it cannot move, cable included.",
    )
