"""The motor current is higher than motor, driver or plug may carry.

Heat in a motor grows with the square of its current: 1.4 times the rating doubles it. An extruder
motor over 60 C softens the filament in its own gears, a driver over its rating switches itself
off in the middle of a print. Firmware that assumes another sense resistor than the board's sets
another current than the one it shows.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.analysis.currents import ways
from pincheck.analysis.motor_current import SOURCE, real_current
from pincheck.model.claim import Claim
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Input,
    Number,
    Outcome,
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.model.threshold import Threshold
from pincheck.physics.motor import peak_a
from pincheck.rules.rule import Outcomes, example, rule

_SLACK = Threshold(
    1.02, "share", "claimed current over the rating of motor or driver",
    "common practice: firmware sets currents in steps of about 3 %",
    below="agrees", above="fault: the motor or its driver overheats",
)  # fmt: skip


@rule(
    Severity.FAULT,
    source=f"ratings of the fitted parts; {SOURCE}",
    fires=example("section", ("toolhead.cfg", "run_current: 0.700", "run_current: 1.200")),
    quiet=example("section", ("toolhead.cfg", "run_current: 0.700", "run_current: 1.000")),
    thresholds=(_SLACK,),
)
def motor_current_over_rating(case: Case) -> Outcomes:
    """Compare each motor's real RMS current with every rating on its way."""
    for wired in case.fitted("motor"):
        role = wired.role
        claim, sense = case.known(role, "current_a"), case.known(role, "sense_ohm")
        if isinstance(claim, Unchecked):
            yield claim
        elif claim is None and (sense or (wired.path.driver and wired.path.driver.type)):
            yield Unchecked(role, "current_a", "the files set no current for its driver")
        elif isinstance(claim, Claim) and isinstance(sense, Unchecked):
            yield Unchecked(role, "current_a", sense.reason)
        elif isinstance(claim, Claim) and not isinstance(sense, Unchecked):
            yield _judged(case, wired, claim, sense)


def _judged(case: Case, wired: Wired, claim: Claim, sense: Claim | None) -> Outcome:
    role, driver = wired.role, wired.path.driver
    number = real_current(wired, claim, sense)
    real = number.value
    hot = "softens filament and mount" if split(role)[0] == "extruder" else "gets too hot to touch"
    ratings = [
        (wired.part.current_a, real, "the motor", f"it {hot}"),
        (driver.max_a if driver else None, real, "its driver",
         "it switches itself off when hot, and steps are lost"),
        *((c.contact_a, peak_a(real), f"a contact of {c.board}.{c.connector} (peak)",
           "it overheats and loses contact, which can destroy the driver")
          for c in wired.path.contacts),
        *((way.strain.may_a, real, way.strain.what, "it overheats, out or back")
          for way in ways(case, wired) if way.kind in ("wire", "track")),
    ]  # fmt: skip
    known = [(may, flows, what, effect) for may, flows, what, effect in ratings if may]
    if not known:
        return Unchecked(role, "current_a", "the wiring gives no rating of motor or driver")
    over = [row for row in known if row[1] > row[0] * _SLACK]
    if not over:
        return Agreement(role, "current_a")
    may, flows, what, effect = max(over, key=lambda row: row[1] / row[0])
    heat = (flows / may) ** 2
    shown = "" if real == value(claim) else f" (shown as {value(claim):.2f} A)"
    given = (Input("I", flows, "A", "as computed"), Input("I rated", may, "A", f"rating: {what}"))
    return Finding(
        spots=((role, "current_a"),),
        message=(
            f"The {roles.name(role)} gets {flows:.2f} A{shown}, but {what} may carry {may:.2f} A: "
            f"{heat:.1f} times the heat; {effect}."
        ),
        claims=(claim, *((sense,) if sense and shown else ())),
        facts=(fact(wired, "current_a", f"{what}: {may:.2f} A"),),
        numbers=(
            number,
            Number("heat over the rating", heat, "", "(I / I rated)^2", given, "Joule's law"),
        ),
        changes=(Change(role, "current_a", _lower(claim, flows / may), claim),),
    )  # fmt: skip


def _lower(claim: Claim, ratio: float) -> float:
    return int(100 * value(claim) / ratio + 1e-9) / 100
