"""The heater draws more current than its switch, contacts or copper may carry.

Current warms a switch, a contact, a track or a wire with its square. Over the rating they get hot
enough to melt a plug or to fail; a switch that fails usually stays on, and then nothing in the
firmware can turn the heater off. A power cap lowers the mean heating (root of the duty), but
holds only while firmware and switch work.
"""

import math

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.current_ratings import Strain, strains
from pincheck.analysis.heater_element import Element, element
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Number,
    Severity,
    Unchecked,
)
from pincheck.rules.rule import Outcomes, example, rule

_LEAST_CAP = 0.5
"""Capped lower a heater is too weak for its job: it wants another part (`common practice`)."""


@rule(
    Severity.DANGER,
    source="IPC-2221, wire tables and contact ratings; see the numbers",
    fires=example(
        "section", ("marsh-230-c.toml", 'part = "heater-24v-40w"', 'part = "heater-24v-60w"')
    ),
    quiet=example(
        "section",
        ("marsh-230-c.toml", 'part = "heater-24v-40w"', 'part = "heater-24v-60w"'),
        ("toolhead.cfg", "max_power: 1.0", "max_power: 0.8"),
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
        ratings = sorted(strains(wired.path, wired.supply), key=lambda strain: strain.may_a)
        switch = wired.path.switch
        if over := [strain for strain in ratings if found.rms_a > strain.may_a]:
            yield _finding(found, over)
        elif switch is None or switch.max_a is None:
            yield Unchecked(wired.role, "max_power", "the wiring gives no rating of its switch")
        else:
            yield Agreement(wired.role, "max_power")


def _finding(found: Element, over: list[Strain]) -> Finding:
    wired, weakest = found.wired, over[0]
    ways = list(dict.fromkeys(f"{s.what} may carry {s.may_a:.1f} A" for s in over))
    blows = all(strain.blows for strain in over)
    effect = "it blows" if blows else "it overheats and may melt, burn or stay on for good"
    cap = f" at its cap of {found.duty:.0%}" if found.duty < 1 else ""
    lower = math.floor(100 * (weakest.may_a / found.on_a) ** 2) / 100
    change = (Change(wired.role, "max_power", lower, found.cap),) if lower >= _LEAST_CAP else ()
    return Finding(
        severity=Severity.FAULT if blows else Severity.DANGER,
        spots=((wired.role, "max_power"),),
        message=(
            f"The {roles.name(wired.role)} draws {found.rms_a:.1f} A{cap}, but "
            f"{roles.listed(ways)}: {effect}."
        ),
        claims=(found.cap,) if found.cap else (),
        facts=(fact(wired, "max_power", f"{found.ohm:g} ohm on {found.volt:g} V"),),
        numbers=(
            Number(
                "effective current",
                found.rms_a,
                "A",
                "U / R x root of the cap",
                found.inputs(),
                "Ohm's law",
            ),
            *(strain.number for strain in over),
        ),
        changes=change,
        advice="Fit a weaker heater or stronger wiring: a cap fails together with the switch.",
    )
