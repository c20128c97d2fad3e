"""The sensor table belongs to another sensor.

Each sensor has its own curve. Read through the curve of another part, the temperature is wrong by
tens of kelvin at printing heat. When the firmware reads too low it heats beyond every limit that
it was given, for all its limits are in the same wrong degrees.
"""

from math import isclose

from pincheck.analysis import misreading as belief
from pincheck.analysis import roles
from pincheck.analysis.amplified_sensor import other_amplifier
from pincheck.analysis.case import Case, fact, origin
from pincheck.analysis.mistyped_figure import mended
from pincheck.analysis.sensor_chain import (
    Chain,
    assumed_sensor,
    behind_converter,
    chain,
)
from pincheck.model.claim import Claim, SensorValue
from pincheck.model.finding import Agreement, Change, Finding, Input, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.physics.divider import Converter, Divider
from pincheck.rules.rule import Outcomes, example, rule
from pincheck.sensors import READS_RIGHT_K, Sensor, amplifier, fitted, same_part

_ANALOG = ("ntc", "platinum")
_PROBED_C = 200.0


@rule(
    Severity.DANGER,
    source="resistance tables of the sensors' makers, IEC 60751; see the numbers",
    fires=example("section", ("toolhead.cfg", "ATC Semitec 104GT-2", "EPCOS 100K B57560G104F")),
    quiet=example(
        "section", ("toolhead.cfg", "ATC Semitec 104GT-2", "ATC Semitec 104NT-4-R025H42G")
    ),
    thresholds=(
        READS_RIGHT_K,
        belief.HARMLESS_K,
    ),
)
def sensor_table_differs(case: Case) -> Outcomes:
    """Compare the assumed curve with the fitted part's on one and the same pull-up."""
    for wired in case.fitted("sensor"):
        if roles.family(wired.role) not in roles.ANALOG or not wired.part.sensor:
            continue
        claim = case.known(wired.role, "table")
        part = fitted(wired.part)
        if part and (misspelt := _misspelt(case, wired, part)):
            yield misspelt
            continue
        assumed = assumed_sensor(case, claim) if isinstance(claim, Claim) else None
        chip = wired.path.amplifier
        if isinstance(claim, Claim) and chip and not amplifier(chip):
            yield Unchecked(wired.role, "table", f"nothing is known of the amplifier {chip}")
            continue
        if isinstance(claim, Claim) and (through := _through(case, wired, claim, assumed)):
            assert assumed
            yield _misread(wired, claim, through, assumed)
            continue
        if isinstance(claim, Claim) and wired.path.amplifier:
            assumed = behind_converter(case, claim) or assumed
        if isinstance(claim, Claim) and part and assumed and assumed.kind not in _ANALOG:
            yield from _other_kind(wired, claim, part, assumed)
            continue
        if isinstance(claim, Claim) and part and assumed and _unamplified(wired, part):
            yield _of_millivolts(wired, claim, part, assumed)
            continue
        if isinstance(claim, Claim) and part and part.curve and not assumed and _own_lines(claim):
            yield _of_no_sensor(case, wired, claim, part)
            continue
        found = chain(case, wired)
        if found is None:
            yield Unchecked(wired.role, "table", "the files name no sensor")
        elif isinstance(found, Unchecked):
            # of two thermistors without a curve nobody knows that they are one
            same = part and assumed and part.kind != "ntc" and same_part(assumed.id, part.id)
            yield Agreement(wired.role, "table") if same else found
        elif found.same_ratio or found.one_nominal:
            yield Agreement(wired.role, "table")
        else:
            yield _judged(case, found)


def _judged(case: Case, found: Chain) -> Finding | Agreement | Unchecked:
    rows = found.readings(found.divider)
    # Of a right table behind a pull-up to another voltage the rule of the pull-up tells.
    right = same_part(found.assumed.id, found.fitted.id) and _pulled_apart(found.divider)
    told = right and not found.wired.path.divider
    if belief.worst(found, rows) and not found.by_class and not told:
        return _finding(case, found)
    spot, reason = (found.wired.role, "table"), belief.unearned(found)
    return Unchecked(*spot, reason) if reason else Agreement(*spot)


def _misspelt(case: Case, wired: Wired, part: Sensor) -> Finding | None:
    """Return that no sensor has that name, where every file that could describe one was sent."""
    role = wired.role
    claim = case.claims.find(role, "table")
    value = claim.value if claim and claim.active else None
    if not isinstance(value, SensorValue) or not value.near or case.claims.doubt(role, "table"):
        return None
    assert claim
    return Finding(
        severity=Severity.FAULT,
        spots=((role, "table"),),
        message=(
            f"{value.written!r} at {origin(claim)} is no sensor that the firmware knows, and no "
            f"section describes one: it refuses to start. {value.near!r} is spelt nearly so."
        ),
        claims=(claim,),
        facts=(fact(wired, "table", part.name),),
        changes=(_change(role, claim, part),),
    )


def _through(case: Case, wired: Wired, claim: Claim, assumed: Sensor | None) -> Sensor | None:
    """Return the other amplifier; a pin that cannot measure at all has a rule of its own."""
    assert isinstance(claim.value, SensorValue)
    pin = case.chip_pin(wired.place) if wired.place else None
    if assumed and assumed.kind in _ANALOG and pin and not pin.adc:
        return None
    return other_amplifier(wired, assumed, claim.value.written)


def _own_lines(claim: Claim) -> bool:
    """Tell whether lines of the user's describe the sensor."""
    return isinstance(claim.value, SensorValue) and bool(claim.value.lines)


def _finding(case: Case, found: Chain) -> Finding:
    rows = found.readings()
    alone = found.readings(found.divider)
    row = belief.worst(found, rows) or belief.worst(found, alone)
    assert row is not None
    role, nominal = found.wired.role, _nominal(case, found)
    one = mended(case, found.wired, found.claim)
    what = f"is a {found.fitted.name}, read as {found.assumed.name}"
    changes: tuple[Change, ...] = (one or _change(role, found.claim, found.fitted),)
    if nominal:
        changes = (Change(role, "nominal_ohm", found.curve.ohm(0.0), nominal),)
    elif same_part(found.assumed.id, found.fitted.id) and _pulled_apart(found.divider):
        # The table is right, and no other one helps: the pull-up is to another voltage.
        what, changes = "is pulled up to another voltage than its converter's", ()
    return Finding(
        severity=belief.severity(case, found, row),
        spots=((role, "table"),),
        message=f"The {roles.name(role)} {what}: {belief.sentence(case, found, row)}.",
        claims=tuple(filter(None, (nominal, one.claim if one else None, found.claim))),
        facts=(fact(found.wired, "table", found.fitted.name),),
        numbers=belief.numbers(found, rows),
        changes=changes,
    )


def _of_no_sensor(case: Case, wired: Wired, claim: Claim, part: Sensor) -> Finding:
    """Return the finding of figures through which no curve goes: whatever is read is wrong."""
    role, one = wired.role, mended(case, wired, claim)
    assert isinstance(claim.value, SensorValue)
    return Finding(
        spots=((role, "table"),),
        message=(
            f"The {roles.name(role)} is a {part.name}, but the figures of {claim.value.written} "
            f"are those of no sensor: what the firmware shows has nothing to do with the "
            f"temperature."
        ),
        claims=tuple(filter(None, (one.claim if one else None, claim))),
        facts=(fact(wired, "table", part.name),),
        changes=(one or _change(role, claim, part),),
    )


def _unamplified(wired: Wired, part: Sensor) -> bool:
    return part.kind == "thermocouple" and not wired.path.amplifier


def _of_millivolts(wired: Wired, claim: Claim, part: Sensor, assumed: Sensor) -> Finding:
    """Return the finding of a thermocouple at a pin that wants a resistor: a short, to the chip.

    Its wires are some ohms and give 12 mV at 300 C (type K, IEC 60584-1).
    """
    role = wired.role
    return Finding(
        severity=Severity.FAULT,
        spots=((role, "table"),),
        message=(
            f"The {roles.name(role)} is a {part.name} without an amplifier, read as "
            f"{assumed.name}: it gives millivolts and is some ohms, so that the pin sees a shorted "
            f"sensor at any temperature, and the firmware refuses to heat."
        ),
        claims=(claim,),
        facts=(fact(wired, "table", part.name),),
        advice="Fit an amplifier for thermocouples between, or a sensor that is a resistor.",
    )


def _pulled_apart(divider: Converter) -> bool:
    """Whether the pull-up goes to another voltage than the converter's full scale."""
    return isinstance(divider, Divider) and not isclose(divider.scale, 1.0)


def _nominal(case: Case, found: Chain) -> Claim | None:
    """Return the claim that tells one platinum sensor from another behind a converter."""
    claim = case.known(found.wired.role, "nominal_ohm")
    platinum = found.fitted.kind == found.assumed.kind == "platinum"
    return claim if platinum and found.wired.path.amplifier and isinstance(claim, Claim) else None


def _change(role: str, claim: Claim, fitted: Sensor) -> Change:
    return Change(role, "table", SensorValue(fitted.id, fitted.id), claim)


def _other_kind(wired: Wired, claim: Claim, fitted: Sensor, assumed: Sensor) -> Outcomes:
    role = wired.role
    if same_part(assumed.id, fitted.id) and wired.path.amplifier:
        yield Agreement(role, "table")
        return
    if wired.path.amplifier or fitted.kind not in _ANALOG:
        yield Unchecked(role, "table", f"{assumed.name} is not compared with {fitted.name}")
        return
    pretends = assumed.fixed_c is not None
    effect = (
        f"the firmware takes it for {assumed.fixed_c:.0f} C for ever and heats on without end"
        if pretends
        else "no temperature is read, and the firmware refuses to heat"
    )
    yield Finding(
        severity=Severity.DANGER if pretends else Severity.FAULT,
        spots=((role, "table"),),
        message=f"The {roles.name(role)} is a {fitted.name}, read as {assumed.name}: {effect}.",
        claims=(claim,),
        facts=(fact(wired, "table", fitted.name),),
        changes=(_change(role, claim, fitted),),
    )


def _misread(wired: Wired, claim: Claim, through: Sensor, assumed: Sensor) -> Finding:
    """Return the finding, with what the firmware believes where both ends are analog."""
    number = _believed(claim, through, assumed)
    effect = (
        f"at a true {_PROBED_C:.0f} C the firmware believes {number.value:.0f} C"
        if number
        else "what it shows has nothing to do with the temperature"
    )
    cold = number is not None and number.value > _PROBED_C
    return Finding(
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
