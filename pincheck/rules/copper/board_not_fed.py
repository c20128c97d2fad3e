"""A board with a chip of its own gets no supply.

A smart board lives on the two wires that bring its supply and take the current back. Without
either nothing on it works; without the ground alone its current looks for another way home,
through signal wires and the chips at their ends.
"""

from collections import defaultdict

from pincheck.analysis.case import Case, fact
from pincheck.analysis.currents import solved
from pincheck.circuit import AT_REST, Node
from pincheck.model.finding import Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.pins.second_chip import spare_fan
from pincheck.rules.rule import Outcomes, Replacement, example, rule
from pincheck.wiring.faults import logic_v


def _lead(pairs: str) -> tuple[Replacement, ...]:
    """Return the demo with a smart board whose lead has these wires only."""
    old, new = 'wiring = "straight"\n\n[fit.spare_fan]', f"wiring = {pairs}\n\n[fit.spare_fan]"
    return tuple((file, was, now.replace(old, new)) for file, was, now in spare_fan("gpio4"))


@rule(
    Severity.FAULT,
    source="Kirchhoff's laws",
    fires=example("section", *_lead("[[1, 1], [2, 2]]")),
    quiet=example("section", *_lead("[[1, 1], [3, 3]]")),
)
def board_not_fed(case: Case) -> Outcomes:
    """Solve each board's supply with everything off."""
    on: dict[str, list[Wired]] = defaultdict(list)
    for wired in case.trace.wired:
        if wired.fit.connector and wired.place:
            on[wired.place.board].append(wired)
    network = case.circuit.network
    for board, users in on.items():
        if reason := network.unfed.get(board):
            yield from (Unchecked(wired.role, "pin", reason) for wired in users)
        elif lack := _lacks(case, board):
            shown = case.assembly.boards[board].title or board
            yield Finding(
                spots=tuple((wired.role, "supply_v") for wired in users),
                message=f"{shown} {lack}: nothing on it works.",
                facts=(fact(users[0], "supply_v", lack),),
                advice="Leave the power off and compare both plugs of its lead, pin by pin.",
            )


def _lacks(case: Case, board: str) -> str:
    """Return which of its two wires a board lacks, empty where it has both."""
    network = case.circuit.network
    draws = next((it for it in network.of_kind("draws") if it.key[1] == board), None)
    it = case.assembly.boards[board]
    if draws is None or it.supply_v is None or Node("star", board) in network.stars:
        return ""
    found = solved(case, AT_REST)
    if found is None:
        return ""
    # With less than its chip's own voltage no converter of a board runs.
    star, least = found.volts(draws.two), logic_v(it.chip)
    if star is not None and abs(found.across_v(draws)) >= least:
        return ""
    # Through its parts a ground that hangs in the air is pulled up to the supply.
    grounded = star is not None and abs(star) < least
    return f"gets no {it.supply_v:g} V" if grounded else "has no way to ground"
