"""Everything together draws more than the supply gives.

With bed, hot end and fans on, the currents add up. A supply over its rating switches off or sags:
the machine resets in the middle of a print, heaters get too little power and trip their
protection.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, part_of
from pincheck.analysis.supply_load import load_of, rails, rating_a
from pincheck.model.finding import (
    Agreement,
    Finding,
    Input,
    Number,
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.physics.supply import Load, SupplyBudget, budget
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("boards/heron-2.toml", "supply_max_a = 14.6", "supply_max_a = 8.0")),
    quiet=example("section", ("boards/heron-2.toml", "supply_max_a = 14.6", "supply_max_a = 10.8")),
)
def supply_overloaded(case: Case) -> Outcomes:
    """Add up what each rail feeds; motors draw little from the supply and are left out."""
    for users in rails(case).values():
        loads = [(wired, load_of(case, wired)) for wired in users]
        rating = rating_a(users)
        known = [(wired, load) for wired, load in loads if isinstance(load, Load)]
        if not known:
            continue
        total = budget([load for _, load in known], rating)
        unknown = next((load for _, load in loads if isinstance(load, str)), "")
        if total.overloaded:
            yield _finding([wired for wired, _ in known], [load for _, load in known], total)
        elif unknown:
            yield from (Unchecked(wired.role, "current_a", unknown) for wired in users)
        else:
            yield from (Agreement(wired.role, "current_a") for wired in users)


def _finding(users: list[Wired], loads: list[Load], total: SupplyBudget) -> Finding:
    first = next(wired for wired in users if wired.role == total.largest[0])
    most = roles.listed([f"the {roles.name(role)}" for role in total.largest[:2]])
    pairs = zip(users, loads, strict=True)
    inputs = [
        Input(f"mean current of {roles.name(wired.role)}", load.current_a * load.duty, "A",
              part_of(wired))
        for wired, load in pairs
    ]  # fmt: skip
    return Finding(
        spots=tuple((role, "current_a") for role in total.largest[:2]),
        message=(
            f"Heaters and fans together draw {total.mean_a:.1f} A from a supply of "
            f"{total.supply_a:.1f} A, most of it {most}: the supply switches off or sags in the "
            f"middle of a print."
        ),
        facts=(fact(first, "current_a", f"{total.mean_a:.1f} A on {total.supply_a:.1f} A"),),
        numbers=(
            Number(
                "current with everything on",
                total.mean_a,
                "A",
                "sum of current x power cap",
                tuple(inputs),
                "common practice",
            ),
        ),
        advice="Fit a stronger supply, or cap the power of the bed heater.",
    )
