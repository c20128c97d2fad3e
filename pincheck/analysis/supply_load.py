"""What each supply rail feeds and what that draws with everything on."""

from collections import defaultdict

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_element import element
from pincheck.model.path import Wired
from pincheck.physics.supply import Load


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
    if roles.function(wired.role) == "heater":
        found = element(case, wired)
        return found if isinstance(found, str) else Load(wired.role, found.on_a, found.duty)
    if wired.part.current_a is None:
        return f"part {wired.part.id} gives no current"
    return Load(wired.role, wired.part.current_a)
