"""The heater draws more current than its switch, contacts or copper may carry.

Current warms a switch, a contact, a track or a wire with its square. Over the rating they get hot
enough to melt a plug or to fail; a switch that fails usually stays on, and then nothing in the
firmware can turn the heater off. A power cap lowers that warming as the duty, and the current that
counts as its root, but holds only while firmware and switch work.
"""

import math

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.currents import LESS_LOST, TRACK_RISE_K, Carried, idle, ways
from pincheck.analysis.heater_element import HeaterElement, element
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Number,
    Severity,
    Unchecked,
)
from pincheck.model.threshold import Threshold
from pincheck.physics.supply import FUSE_HOLDS
from pincheck.rules.rule import Outcomes, example, rule

_LEAST_CAP = Threshold(
    0.5, "share", "power cap that would spare the weakest thing on the way", "common practice",
    below="no edit: a heater capped so far is too weak for its job",
    above="the edit caps it",
)  # fmt: skip


@rule(
    Severity.DANGER,
    source="IPC-2221, wire tables and contact ratings; see the numbers",
    fires=example(
        "section", ("marsh-230-c.toml", 'part = "heater-24v-40w"', 'part = "heater-24v-60w"')
    ),
    quiet=example(
        "section",
        ("marsh-230-c.toml", 'part = "heater-24v-40w"', 'part = "heater-24v-60w"'),
        ("toolhead.cfg", "max_power: 1.0", "max_power: 0.75"),
    ),
    thresholds=(
        _LEAST_CAP,
        FUSE_HOLDS,
        TRACK_RISE_K,
    ),
)
def power_over_switch(case: Case) -> Outcomes:
    """Compare each heater's effective current with everything on its way."""
    for wired in case.fitted("heater"):
        if behind := case.behind_short(wired, "max_power"):
            yield behind
            continue
        found = element(case, wired)
        if isinstance(found, str):
            yield Unchecked(wired.role, "max_power", found)
            continue
        if reason := idle(case, wired):
            yield Unchecked(wired.role, "max_power", reason)
            continue
        mine = sorted(ways(case, wired), key=lambda way: way.strain.may_a)
        over = [
            way
            for way in mine
            if way.verdict == "too much" and way.of(wired.role) > way.strain.may_a
        ]
        doubt = next((way.doubt for way in mine if way.verdict == "perhaps"), "")
        switch = wired.path.switch
        if over:
            yield _finding(found, over)
        elif doubt or switch is None or switch.max_a is None:
            reason = doubt or "the wiring gives no rating of its switch"
            yield Unchecked(wired.role, "max_power", reason)
        else:
            yield Agreement(wired.role, "max_power")


def _finding(found: HeaterElement, over: list[Carried]) -> Finding:
    wired, strains = found.wired, [way.strain for way in over]
    own_a = max(way.of(wired.role) for way in over)
    listed = [f"{strain.what} may carry {strain.may_a:.1f} A" for strain in strains]
    blows = all(strain.blows for strain in strains)
    effect = "it blows" if blows else "it overheats and may melt, burn or stay on for good"
    cap = f" at its cap of {found.duty:.0%}" if found.duty < 1 else ""
    # Low enough for the worst that contacts and copper may be.
    ratio = min(way.strain.may_a / way.most_a for way in over)
    lower = math.floor(100 * found.duty * (LESS_LOST * ratio) ** 2) / 100
    change = (Change(wired.role, "max_power", lower, found.cap),) if lower >= _LEAST_CAP else ()
    return Finding(
        severity=Severity.FAULT if blows else Severity.DANGER,
        spots=((wired.role, "max_power"),),
        message=(
            f"The {roles.name(wired.role)} draws {own_a:.1f} A{cap}, but "
            f"{roles.listed(listed)}: {effect}."
        ),
        claims=(found.cap,) if found.cap else (),
        facts=(fact(wired, "max_power", f"{found.ohm:g} ohm on {found.volt:g} V"),),
        numbers=(
            Number(
                "effective current",
                own_a,
                "A",
                "U / (R + its way out and back) x root of the cap",
                found.inputs(),
                "Kirchhoff's laws",
            ),
            *(strain.number for strain in strains),
        ),
        changes=change,
        advice="Fit a weaker heater or stronger wiring: a cap fails together with the switch.",
    )
