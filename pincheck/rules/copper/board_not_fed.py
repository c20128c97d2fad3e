"""A board with a chip of its own gets no supply.

A smart board lives on the two wires that bring its supply and take the current back. Without
either nothing on it works; without the ground alone its current looks for another way home,
through signal wires and the chips at their ends.
"""

from collections import defaultdict

from pincheck.analysis.board_supply import lacks, signals
from pincheck.analysis.case import Case, fact
from pincheck.model.finding import Finding, Moment, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.pins.second_chip import spare_fan
from pincheck.rules.rule import Outcomes, Replacement, example, rule


def _lead(pairs: str) -> tuple[Replacement, ...]:
    """Return the demo with a smart board whose lead has these wires only."""
    old, new = 'wiring = "straight"\n\n[fit.spare_fan]', f"wiring = {pairs}\n\n[fit.spare_fan]"
    return tuple((file, was, now.replace(old, new)) for file, was, now in spare_fan("gpio4"))


@rule(
    Severity.DANGER,
    when=Moment.SWITCH_ON,
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
        shown = case.assembly.boards[board].title or board
        reason = network.unfed.get(board)
        if ("input", board) not in network.elements and board != case.assembly.main:
            reason = f"the file of {shown} gives no supply_v and no rail: nothing shows it is fed"
        if reason:
            yield from (Unchecked(wired.role, "pin", reason) for wired in users)
        elif not case.shorted.isdisjoint(wired.role for wired in users):
            continue  # a plug mated wrong is told of already
        elif lack := lacks(case, board):
            astray = "ground" in lack and signals(case, board)
            does = "its current returns through its signal wires and the chips at their ends"
            yield Finding(
                severity=Severity.DANGER if astray else Severity.FAULT,
                spots=tuple((wired.role, "supply_v") for wired in users),
                message=f"{shown} {lack}: {does if astray else 'nothing on it works'}.",
                facts=(fact(users[0], "supply_v", lack),),
                advice="Leave the power off and compare both plugs of its lead, pin by pin.",
            )
