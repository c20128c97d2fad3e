"""Everything on at once against the supply."""

from collections import defaultdict
from collections.abc import Iterator

from pincheck.model.finding import (
    Agreement,
    Finding,
    Input,
    Number,
    Outcome,
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.physics.supply import Budget, Load, budget
from pincheck.rules import words
from pincheck.rules.base import Case, example, fact, part_of, rule
from pincheck.rules.limits.element import element


@rule(
    id="supply-overloaded",
    severity=Severity.FAULT,
    title="Everything together draws more than the supply gives",
    reason=(
        "With bed, hot end and fans on, the currents add up. A supply over its rating switches "
        "off or sags: the machine resets in the middle of a print, heaters get too little power "
        "and trip their protection. A supply lasts at up to 80 percent of its rating."
    ),
    source="common practice",
    failing=example(
        "section", ("boards/heron-2.toml", "supply_max_a = 14.6", "supply_max_a = 8.0")
    ),
    passing=example(
        "section", ("boards/heron-2.toml", "supply_max_a = 14.6", "supply_max_a = 10.8")
    ),
)
def supply_overloaded(case: Case) -> Iterator[Outcome]:
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


def rails(case: Case) -> dict[tuple[str, str], list[Wired]]:
    """Return what each rail with a rating feeds, every part once."""
    fed: dict[tuple[str, str], list[Wired]] = defaultdict(list)
    counted: set[str] = set()
    for wired in case.trace.wired:
        # A probe with a servo has two roles and draws its current once.
        if wired.supply_rail and wired.supply_max_a and wired.fit.name not in counted:
            counted.add(wired.fit.name)
            fed[wired.supply_rail].append(wired)
    return fed


def rating_a(users: list[Wired]) -> float:
    """Return what the supply of one rail gives."""
    return min(wired.supply_max_a or 0.0 for wired in users)


def load_of(case: Case, wired: Wired) -> Load | str:
    """Return what a part draws with everything on, or why it is not known."""
    if words.function(wired.role) == "heater":
        found = element(case, wired)
        return found if isinstance(found, str) else Load(wired.role, found.on_a, found.duty)
    if wired.part.current_a is None:
        return f"part {wired.part.id} gives no current"
    return Load(wired.role, wired.part.current_a)


def _finding(users: list[Wired], loads: list[Load], total: Budget) -> Finding:
    first = next(wired for wired in users if wired.role == total.largest[0])
    most = words.listed([f"the {words.name(role)}" for role in total.largest[:2]])
    pairs = zip(users, loads, strict=True)
    inputs = [
        Input(f"mean current of {words.name(wired.role)}", load.current_a * load.duty, "A",
              part_of(wired))
        for wired, load in pairs
    ]  # fmt: skip
    return Finding(
        rule="supply-overloaded",
        severity=Severity.FAULT,
        spots=((first.role, "current_a"),),
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
