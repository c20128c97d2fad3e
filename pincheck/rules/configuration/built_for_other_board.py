"""The configuration is for another board than the one that is wired.

One name chooses the board, and with it every pin that no line of the user's sets. After a board
was swapped it is the line most easily forgotten: the firmware then drives and reads the pins of
the board that is in the drawer.
"""

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import home
from pincheck.model.finding import Finding, Moment, Severity
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.FAULT,
    when=Moment.SWITCH_ON,
    source="common practice",
    fires=example(
        "define", ("machine.h", "MOTHERBOARD BOARD_HERON_2", "MOTHERBOARD BOARD_BITTERN")
    ),
    quiet=example(
        "define",
        ("machine.h", "MOTHERBOARD BOARD_HERON_2", "MOTHERBOARD BOARD_HERON_3"),
        ("boards/heron-2.toml", '["BOARD_HERON_2"]', '["BOARD_HERON_2", "BOARD_HERON_3"]'),
    ),
)
def built_for_other_board(case: Case) -> Outcomes:
    """Name the line, and every part whose pin that board's header gives."""
    line, main = case.claims.other_board, case.assembly.main
    if line is None or line.setting is None:
        return
    at_stake = [
        wired.role
        for wired in case.trace.wired
        if (place := home(wired)) and place.board == main and not _own_line(case, wired.role)
    ]
    if at_stake:
        board = case.assembly.boards[main]
        some = [f"the {roles.name(role)}" for role in at_stake[:3]]
        more = [f"{len(at_stake) - 3} more"] if len(at_stake) > 3 else []
        yield Finding(
            spots=tuple((role, "pin") for role in at_stake),
            message=(
                f"{line.setting.key} names {line.setting.value}, and the board that is wired is "
                f"{board.title} ({' or '.join(board.identifiers)}): the firmware drives and reads "
                f"another board's pins for {roles.listed([*some, *more])}."
            ),
            claims=(evolve(line, role=at_stake[0]),),
            advice=f"Set {line.setting.key} to {board.identifiers[0]}, or wire that board.",
        )


def _own_line(case: Case, role: str) -> bool:
    claim = case.claims.find(role, "pin")
    return claim is not None and claim.setting is not None
