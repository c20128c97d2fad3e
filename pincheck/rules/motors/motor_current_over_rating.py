"""A motor set to more current than it, its driver or its plug may carry."""

from collections.abc import Iterator

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
from pincheck.physics.motor import peak_a, real_rms_a
from pincheck.rules import words
from pincheck.rules.base import Case, claimed, example, fact, rule, value

_SLACK = 1.02


@rule(
    id="motor-current-over-rating",
    severity=Severity.FAULT,
    title="The motor current is higher than motor, driver or plug may carry",
    reason=(
        "Heat in a motor grows with the square of its current: 1.4 times the rating doubles it. "
        "An extruder motor over 60 C softens the filament in its own gears, a driver over its "
        "rating switches itself off in the middle of a print. Firmware that assumes another sense "
        "resistor than the board's sets another current than the one it shows."
    ),
    source="ratings of the fitted parts; current law of common register-set drivers",
    failing=example(
        "section", ("clean/section/toolhead.cfg", "run_current: 0.700", "run_current: 1.200")
    ),
    passing=example(
        "section", ("clean/section/toolhead.cfg", "run_current: 0.700", "run_current: 1.000")
    ),
)
def motor_current_over_rating(case: Case) -> Iterator[Outcome]:
    """Compare each motor's real RMS current with every rating on its way."""
    for wired in case.fitted("motor"):
        role = wired.role
        claim, sense = case.known(role, "current_a"), case.known(role, "sense_ohm")
        if isinstance(claim, Unchecked):
            yield claim
        elif isinstance(claim, Claim) and isinstance(sense, Unchecked):
            yield Unchecked(role, "current_a", sense.reason)
        elif isinstance(claim, Claim) and not isinstance(sense, Unchecked):
            yield _judged(wired, claim, sense)


def _judged(wired: Wired, claim: Claim, sense: Claim | None) -> Outcome:
    role, driver = wired.role, wired.path.driver
    real = value(claim)
    if sense and driver and driver.sense_ohm:
        real = real_rms_a(real, value(sense), driver.sense_ohm)
    ratings = [
        (wired.part.current_a, real, "the motor"),
        (driver.max_a if driver else None, real, "its driver"),
        *((c.contact_a, peak_a(real), f"a contact of {c.board}.{c.connector} (peak)")
          for c in wired.path.contacts),
    ]  # fmt: skip
    known = [(may, flows, what) for may, flows, what in ratings if may]
    if not known:
        return Unchecked(role, "current_a", "the wiring gives no rating of motor or driver")
    over = [row for row in known if row[1] > row[0] * _SLACK]
    if not over:
        return Agreement(role, "current_a")
    may, flows, what = max(over, key=lambda row: row[1] / row[0])
    heat = (flows / may) ** 2
    shown = "" if real == value(claim) else f" (shown as {value(claim):.2f} A)"
    resistors = (
        (claimed(sense), Input("sense resistor fitted", driver.sense_ohm, "ohm", "wiring"))
        if sense and driver and driver.sense_ohm
        else ()
    )
    return Finding(
        rule="motor-current-over-rating",
        severity=Severity.FAULT,
        spots=((role, "current_a"),),
        message=(
            f"The {words.name(role)} gets {flows:.2f} A{shown}, but {what} may carry {may:.2f} A: "
            f"{heat:.1f} times the heat; it softens what it touches, loses steps or switches off."
        ),
        claims=(claim, *((sense,) if sense and shown else ())),
        facts=(fact(wired, "current_a", f"{what}: {may:.2f} A"),),
        numbers=(
            Number("real RMS current", real, "A",
                   "I x (R assumed + 0.02) / (R fitted + 0.02)" if resistors else "I as claimed",
                   (claimed(claim), *resistors), "driver data sheet, from memory"),
            Number("heat over the rating", heat, "", "(I / I rated)^2", (claimed(claim),),
                   "Joule's law"),
        ),
        changes=(Change(role, "current_a", _lower(claim, flows / may), claim),),
    )  # fmt: skip


def _lower(claim: Claim, ratio: float) -> float:
    return int(100 * value(claim) / ratio + 1e-9) / 100
