"""The hot-end fan does not follow the hot end's temperature.

The hot-end fan has to run whenever the hot end is warm, also while it cools down after a print. A
fan that only obeys commands stands still after a reset, a pause or a print that switches fans
off, and the filament jams above the melt zone. A liner is cooked up to its upper end then.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.analysis.hotend_fans import USUAL_C, Driven, hotend_fans, standing_still
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.role import sibling
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("gcode", ("toolhead.g", "M106 P1 S1 H1 T50", "M106 P1 S0 H-1")),
    quiet=example("gcode", ("toolhead.g", "M106 P1 S1 H1 T50", "M106 P1 S1 H-1")),
)
def hotend_fan_not_thermostatic(case: Case) -> Outcomes:
    """Look for a configured hot-end fan that certainly watches no heater.

    One that the start-up script itself switches on, and nothing regulates, always turns.
    """
    for fan in hotend_fans(case):
        role = fan.wired.role
        if roles.family(fan.by) == "controller.fan":
            yield _as_a_boards_fan(case, fan)
            continue
        power = case.known(fan.by, "on_power")
        if case.known(fan.by, "watches") is not None or isinstance(power, Unchecked):
            continue
        plain = roles.function(fan.by) == "output"
        if power and value(power) > 0:
            yield Agreement(role, "watches")
            if plain:
                yield Agreement(role, "pin")
            continue
        if plain:
            yield _as_a_plain_output(case, fan)
            continue
        heater = sibling(role, "heater")
        yield Finding(
            severity=standing_still(case, role),
            spots=((role, "watches"),),
            message=(
                f"The {roles.name(role)} watches no heater: it stands still until a command starts "
                f"it, and a hot end at 200 C without it jams within minutes."
            ),
            claims=(fan.pin, *((power,) if power else ())),
            facts=(fact(fan.wired, "watches", f"cools the {roles.name(heater)}"),),
            changes=(
                Change(fan.by, "watches", str(heater)),
                Change(fan.by, "threshold_c", USUAL_C),
                *((Change(fan.by, "on_power", 1.0, power),) if power else ()),
            ),
            advice=f"Give its pin to a fan that follows the {roles.name(heater)}.",
        )


def _as_a_plain_output(case: Case, fan: Driven) -> Finding:
    name, heater = roles.name(fan.wired.role), roles.name(sibling(fan.wired.role, "heater"))
    return Finding(
        severity=standing_still(case, fan.wired.role),
        spots=((fan.wired.role, "watches"), (fan.wired.role, "pin")),
        message=(
            f"The pin of the {name} is set up as a plain output: nothing turns it on with the "
            f"{heater}, and a hot end at 200 C without it jams within minutes."
        ),
        claims=(fan.pin,),
        facts=(fact(fan.wired, "watches", f"the {name} hangs there"),),
        advice=f"Give its pin to a fan that follows the {heater}.",
    )


def _as_a_boards_fan(case: Case, fan: Driven) -> Finding:
    name, heater = roles.name(fan.wired.role), roles.name(sibling(fan.wired.role, "heater"))
    return Finding(
        severity=standing_still(case, fan.wired.role),
        spots=((fan.wired.role, "watches"),),
        message=(
            f"The {name} is driven as a board fan: it stops half a minute after the last heater is "
            f"switched off, while the hot end is still hot enough to soften the filament above it."
        ),
        claims=(fan.pin,),
        facts=(fact(fan.wired, "watches", f"the {name} hangs there"),),
        advice=f"Give its pin to a fan that follows the {heater}.",
    )
