"""The firmware assumes another pull-up resistor than the board's.

A sensor's resistance is measured against the board's pull-up. Firmware that computes with 4700
ohm on a board with 2200 ohm, or the other way round, is wrong by 25 to 50 K at printing heat,
though the sensor is the right one.
"""

from pincheck.analysis import misreading as belief
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.model.claim import SensorValue
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.physics.divider import Divider
from pincheck.rules.rule import Outcomes, example, rule

_SAME = Threshold(
    0.05, "share", "assumed pull-up off the fitted one",
    "common practice: resistors of 1 and 5 % stand for each other",
    below="agrees", above="advice at least, by what the reading is off",
)  # fmt: skip

_RATIOS = "the firmware's table does not say which pull-up it is for"


@rule(
    Severity.DANGER,
    source="voltage divider; resistance tables of the sensors' makers",
    fires=example("section", ("toolhead.cfg", "pullup_resistor: 4700", "pullup_resistor: 2200")),
    quiet=example("section", ("toolhead.cfg", "pullup_resistor: 4700", "pullup_resistor: 4640")),
    thresholds=(_SAME,),
)
def sensor_pullup_differs(case: Case) -> Outcomes:
    """Compare the assumed pull-up with what the copper puts on the sensor's line."""
    for wired in case.fitted("sensor"):
        if roles.family(wired.role) not in roles.ANALOG or not wired.part.sensor:
            continue
        if wired.path.amplifier:
            continue
        found, claim = chain(case, wired), case.known(wired.role, "pullup_ohm")
        if other_rail := _other_rail(case, found):
            yield other_rail
        elif isinstance(claim, Unchecked):
            boards_own = isinstance(found, Chain) and _takes_its_boards(case, wired, found)
            yield Agreement(wired.role, "pullup_ohm") if boards_own else claim
        elif isinstance(found, Unchecked):
            yield Unchecked(wired.role, "pullup_ohm", found.reason)
        elif found is None or not isinstance(found.divider, Divider):
            continue
        elif isinstance(found.assumed_divider, Divider):
            fitted, taken = found.divider.pullup_ohm, found.assumed_divider.pullup_ohm
            if found.says_no_pullup and belief.worst(found, found.readings()):
                yield Unchecked(wired.role, "pullup_ohm", _RATIOS)
            elif abs(taken / fitted - 1) <= _SAME:
                yield Agreement(wired.role, "pullup_ohm")
            else:
                yield _finding(case, found, fitted, taken)


def _takes_its_boards(case: Case, wired: Wired, found: Chain) -> bool:
    """Return whether the firmware takes its own board's pull-up, and that is the fitted one.

    Nothing but the lack of a setting may be in doubt, and no other board may pull the line.
    """
    if found.pullup or found.assumed.pullup_ohm or case.claims.find(wired.role, "pullup_ohm"):
        return False
    if any(
        doubt.attribute == "" and doubt.role in ("", wired.role) for doubt in case.claims.doubts
    ):
        return False
    board = case.assembly.boards.get(wired.place.board) if wired.place else None
    fitted = wired.path.pullups
    own = [net.pullup for net in board.nets.values()] if board else []
    return len(fitted) == 1 and any(pull is fitted[0] for pull in own)


def _other_rail(case: Case, found: Chain | Unchecked | None) -> Finding | None:
    """Return the finding of a pull-up that hangs on another voltage than is computed with.

    A converter that measures against the voltage of the pull-up reads the ratio of the two
    resistors alone; any other reads the ratio of the two voltages as well, up to its full scale.
    """
    if not isinstance(found, Chain) or found.wired.path.divider:
        return None
    scales = [end.scale for end in found.ends if isinstance(end, Divider)]
    rows, role, pulls = found.readings(), found.wired.role, found.wired.path.pullups
    row = belief.worst(found, rows)
    if len(scales) < 2 or scales[0] == scales[1] or scales[1] != 1 or not row:
        return None
    (fitted, taken), volts = scales, " and ".join(f"{pull.to_v:g} V" for pull in pulls)
    return Finding(
        severity=belief.severity(case, found, row),
        spots=((role, "pullup_ohm"),),
        message=(
            f"The pull-up of the {roles.name(role)} hangs on {volts}, {fitted:.2f} times the "
            f"voltage that the chip measures against; the firmware computes with {taken:.2f} "
            f"times: {belief.sentence(case, found, row)}."
        ),
        claims=(*((found.pullup,) if found.pullup else ()), found.claim),
        facts=(fact(found.wired, "pullup_ohm", f"pull-up to {volts}"),),
        numbers=belief.numbers(found, rows),
        advice="Take the pull-up to the voltage that the chip measures against.",
    )


def _finding(case: Case, found: Chain, fitted_ohm: float, taken_ohm: float) -> Finding:
    rows = found.readings()
    role = found.wired.role
    row = belief.worst(found, rows) or max(rows, key=lambda row: abs(row.error_c))
    return Finding(
        severity=belief.severity(case, found, row),
        spots=((role, "pullup_ohm"),),
        message=(
            f"The {roles.name(role)} hangs on a pull-up of {fitted_ohm:.0f} ohm, the firmware "
            f"computes with {taken_ohm:.0f} ohm: {belief.sentence(case, found, row)}."
        ),
        claims=(*((found.pullup,) if found.pullup else ()), found.claim),
        facts=(fact(found.wired, "pullup_ohm", f"{fitted_ohm:.0f} ohm"),),
        numbers=belief.numbers(found, rows),
        changes=(_change(found, fitted_ohm),),
    )


def _change(found: Chain, fitted_ohm: float) -> Change:
    """Return the pull-up as a change, or a table for the fitted one where the table decides it."""
    role = found.wired.role
    if found.pullup is None:
        return Change(role, "table", SensorValue(found.fitted.id, found.fitted.id), found.claim)
    return Change(role, "pullup_ohm", fitted_ohm, found.pullup)
