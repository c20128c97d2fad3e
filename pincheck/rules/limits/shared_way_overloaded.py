"""Contacts or copper carry more than they may.

Fans on one switched line, and everything that a ribbon feeds from one rail, send their currents
through the same few contacts, tracks and thin wires. Each part may be well within its own rating
while the sum overheats what they share, and a hot plug melts.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.currents import Carried, carried, idle, ways
from pincheck.model.finding import Agreement, Finding, Number, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_SOCKET = "[connectors.part_fan_a]\npitch_mm = 3.96\nkeyed = true\ncontact_a = "


def _rated(ampere: str) -> tuple[str, str, str]:
    return "boards/lapwing-c.toml", f"{_SOCKET}5.0", f"{_SOCKET}{ampere}"


@rule(
    Severity.DANGER,
    source="IPC-2221, wire tables and contact ratings; see the numbers",
    fires=example("section", _rated("0.2")),
    quiet=example("section", _rated("0.4")),
)
def shared_way_overloaded(case: Case) -> Outcomes:
    """Compare everything that shares a thing on the way with what it may carry.

    A heater that is too much on its own is told of where its switch is judged.
    """
    over = [
        way
        for way in carried(case)
        if way.verdict == "too much"
        and not _of_one(way)
        # Behind a plug that is mated wrong a supply is shorted: that is told, and all of it.
        and case.shorted.isdisjoint(wired.role for wired, _ in way.users)
    ]
    told: set[str] = set()
    for way in sorted(over, key=lambda way: way.strain.may_a / way.total.nominal):
        drawing = {wired.role for wired, _ in way.users}
        # One finding for parts that overload one thing after the other of the same way.
        if not drawing <= told:
            told |= drawing
            yield _finding(way)
    for wired in case.fitted("fan", "output"):
        if wired.part.current_a is None or wired.supply_v is None or wired.role in told:
            continue
        doubts = (way.doubt for way in ways(case, wired) if way.verdict == "perhaps")
        if reason := idle(case, wired) or next(doubts, ""):
            yield Unchecked(wired.role, "current_a", reason)
        else:
            yield Agreement(wired.role, "current_a")


def _of_one(way: Carried) -> bool:
    """Whether one heater or motor is too much for it alone, or its switch is judged elsewhere."""
    judged = ("heater", "motor")
    alone = (amps for wired, amps in way.users if roles.function(wired.role) in judged)
    return way.strain.may_a < max(alone, default=0.0) or way.kind == "switch"


def _finding(way: Carried) -> Finding:
    strain = way.strain
    drawing, total_a = [wired.role for wired, _ in way.users], way.total.nominal
    names = roles.listed([f"the {roles.name(role)}" for role in drawing])
    together = " together draw" if len(drawing) > 1 else " draws"
    effect = "it overheats and may melt, or loses contact"
    if strain.blows:
        effect = "it blows in the middle of a print"
    return Finding(
        severity=Severity.FAULT if strain.blows else Severity.DANGER,
        spots=tuple((role, "current_a") for role in drawing),
        message=(
            f"{names[0].upper()}{names[1:]}{together} {total_a:.2f} A, but {strain.what} may "
            f"carry {strain.may_a:.2f} A: {effect}."
        ),
        facts=tuple(fact(w, "current_a", f"{current:.2f} A") for w, current in way.users),
        numbers=(
            Number("current with everything on", total_a, "A", "solved out and back",
                   way.inputs(), "Kirchhoff's laws"),
            strain.number,
        ),
        advice="Share the current among more contacts or wires, or fit weaker parts.",
    )  # fmt: skip
