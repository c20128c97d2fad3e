"""The fan is made for another voltage than its socket gives.

A fan on twice its voltage takes about eight times its power and burns out, at first without a
sign; the hot end then jams and a part fan fills the air with smoke. A fan on half its voltage may
not start at all.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, part_of
from pincheck.analysis.hotend_fans import standing_still
from pincheck.model.finding import Agreement, Finding, Input, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.physics.fan import HIGHEST_SHARE, LOWEST_SHARE, Fan, OnSupply, on_supply
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="supply range of the fitted part; fan laws (common practice)",
    fires=example("section", ("marsh-230-c.toml", 'part = "fan-24v-0a1"', 'part = "fan-12v-0a1"')),
    quiet=example("section", ("marsh-230-c.toml", 'part = "fan-24v-0a1"', 'part = "fan-24v-0a3"')),
    thresholds=(
        LOWEST_SHARE,
        HIGHEST_SHARE,
    ),
)
def fan_voltage_differs(case: Case) -> Outcomes:
    """Compare each fan's supply range with the voltage across its socket."""
    for wired in case.fitted("fan"):
        if behind := case.behind_short(wired, "supply_v"):
            yield behind
            continue
        part, volt = wired.part, wired.supply_v
        if volt is None or not part.rated_v or not part.current_a:
            what = "no supply" if volt is None else f"no rating of part {part.id}"
            yield Unchecked(wired.role, "supply_v", f"the wiring gives {what}")
            continue
        fan = Fan(
            part.rated_v,
            part.current_a,
            supply_min_v=part.supply_min_v,
            supply_max_v=part.supply_max_v,
        )
        there = on_supply(fan, volt)
        if there.fit == "within":
            yield Agreement(wired.role, "supply_v")
        else:
            yield _finding(case, wired, fan, volt, there)


def _finding(case: Case, wired: Wired, fan: Fan, volt: float, there: OnSupply) -> Finding:
    hot = there.fit == "above"
    effect = (
        f"it takes about {there.power_ratio:.1f} times its power and burns out"
        if hot
        else "it turns too slowly or not at all"
    )
    alone = " (the hot end jams without it)" if roles.family(wired.role) == "hotend.fan" else ""
    return Finding(
        severity=Severity.DANGER if hot else standing_still(case, wired.role),
        spots=((wired.role, "supply_v"),),
        message=(
            f"The {roles.name(wired.role)} is made for {fan.rated_v:g} V and gets {volt:g} V: "
            f"{effect}{alone}."
        ),
        facts=(fact(wired, "supply_v", f"{volt:g} V"),),
        numbers=(
            Number(
                "power over the rated one",
                there.power_ratio,
                "",
                "(U / U rated)^3",
                (
                    Input("supply", volt, "V", f"wiring of {wired.role}"),
                    Input("rated voltage", fan.rated_v, "V", part_of(wired)),
                ),
                "fan laws, common practice",
            ),
        ),
        advice=f"Fit a fan made for {volt:g} V, or set the socket's voltage jumper.",
    )
