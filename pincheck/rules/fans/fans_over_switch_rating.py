"""The fans on one switch draw more than it may carry.

A second socket on a switched net adds its fan's current to the first. A small transistor over its
rating overheats; it fails open, and the hot end loses its cooling, or fails shorted and scorches
the board.
"""

from collections import defaultdict

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, part_of
from pincheck.model.finding import (
    Agreement,
    Finding,
    Input,
    Number,
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.physics.fan import INRUSH_RATIO
from pincheck.physics.switch import SwitchLoad, load
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="current sum against the rating of the switch",
    fires=example(
        "section",
        (
            "boards/heron-2.toml",
            '[nets.FAN2]\nchip_pin = "PB8"\nswitch = { side = "low", max_a = 1.0',
            '[nets.FAN2]\nchip_pin = "PB8"\nswitch = { side = "low", max_a = 0.5',
        ),
    ),
    quiet=example(
        "section",
        (
            "boards/heron-2.toml",
            '[nets.FAN2]\nchip_pin = "PB8"\nswitch = { side = "low", max_a = 1.0',
            '[nets.FAN2]\nchip_pin = "PB8"\nswitch = { side = "low", max_a = 0.6',
        ),
    ),
)
def fans_over_switch_rating(case: Case) -> Outcomes:
    """Add up the loads other than heaters on each switched net."""
    nets: dict[tuple[str, str], list[Wired]] = defaultdict(list)
    for wired in case.fitted("fan", "output"):
        if wired.switched_net and wired.path.switch:
            nets[wired.switched_net].append(wired)
    for users in nets.values():
        switch = users[0].path.switch
        unknown = next((w for w in users if w.part.current_a is None), None)
        if switch is None or switch.max_a is None or unknown:
            what = f"part {unknown.part.id} gives no current" if unknown else (
                "the wiring gives no rating of the switch"
            )  # fmt: skip
            yield from (Unchecked(wired.role, "current_a", what) for wired in users)
            continue
        pairs = [(w.part.current_a or 0.0, w.part.inrush_ratio or INRUSH_RATIO) for w in users]
        total = load(pairs, switch.max_a, switch.rds_on_mohm)
        if total.total_a > switch.max_a:
            yield _finding(users, total, switch.max_a)
        else:
            yield from (Agreement(wired.role, "current_a") for wired in users)


def _finding(users: list[Wired], total: SwitchLoad, max_a: float) -> Finding:
    names = roles.listed([f"the {roles.name(wired.role)}" for wired in users])
    inputs = (
        *(Input(roles.name(w.role), w.part.current_a or 0.0, "A", part_of(w)) for w in users),
        Input("rating of the switch", max_a, "A", f"wiring of {users[0].role}"),
    )
    return Finding(
        spots=tuple((wired.role, "current_a") for wired in users),
        message=(
            f"{names[0].upper()}{names[1:]} draw {total.total_a:.2f} A through one switch rated "
            f"{max_a:.2f} A ({total.inrush_a:.2f} A at the start): it overheats and fails, open "
            f"or shorted."
        ),
        facts=tuple(fact(w, "current_a", f"{w.part.current_a:.2f} A") for w in users),
        numbers=(
            Number(
                "current through the switch", total.total_a, "A", "sum of the currents", inputs,
                "data sheet of the parts",
            ),
            Number(
                "current at the start", total.inrush_a, "A", "sum of current x inrush ratio",
                inputs, "common practice where the part gives no ratio",
            ),
        ),
        advice="Move one fan to a switch of its own, or fit weaker fans.",
    )  # fmt: skip
