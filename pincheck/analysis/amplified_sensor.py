"""A sensor behind an amplifier, read as if something else were at the chip's pin."""

from pincheck.analysis import roles
from pincheck.analysis.case import fact, origin
from pincheck.model.claim import Claim, SensorValue
from pincheck.model.finding import Change, Finding, Input, Number, Severity
from pincheck.model.path import Wired
from pincheck.sensors import Sensor, amplifier, same_part

_PROBED_C = 200.0


def other_amplifier(wired: Wired, assumed: Sensor | None) -> Sensor | None:
    """Return the amplifier that a part is read through, where the firmware expects another end.

    Two digital converters are not told apart: some words stand for either.
    """
    through = amplifier(wired.path.amplifier)
    if through is None or assumed is None or assumed.kind == "none":
        return None
    analog = through.amplifier or assumed.amplifier
    return through if analog and not same_part(assumed.id, through.id) else None


def misread(wired: Wired, claim: Claim, through: Sensor, assumed: Sensor) -> Finding:
    """Return the finding, with what the firmware believes where both ends are analog."""
    number = _believed(claim, through, assumed)
    effect = (
        f"at a true {_PROBED_C:.0f} C the firmware believes {number.value:.0f} C"
        if number
        else "what it shows has nothing to do with the temperature"
    )
    cold = number is not None and number.value > _PROBED_C
    return Finding(
        rule="sensor-table-differs",
        severity=Severity.FAULT if cold else Severity.DANGER,
        spots=((wired.role, "table"),),
        message=(
            f"The {roles.name(wired.role)} is read through an amplifier ({through.name}), but "
            f"taken for something else ({assumed.name}): {effect}."
        ),
        claims=(claim,),
        facts=(fact(wired, "table", through.name),),
        numbers=(number,) if number else (),
        changes=(Change(wired.role, "table", SensorValue(through.id, through.id), claim),),
    )


def _believed(claim: Claim, through: Sensor, assumed: Sensor) -> Number | None:
    fitted, taken = through.amplifier, assumed.amplifier
    if fitted is None or taken is None:
        return None
    return Number(
        f"believed at a true {_PROBED_C:.0f} C",
        fitted.believed_c(_PROBED_C, fitted.design, assumed_mv_per_c=taken.mv_per_c),
        "C",
        "output of the fitted amplifier / scale of the assumed one",
        (
            Input("fitted scale", fitted.mv_per_c, "mV/C", through.name),
            Input("assumed scale", taken.mv_per_c, "mV/C", origin(claim)),
        ),
        through.source,
    )
