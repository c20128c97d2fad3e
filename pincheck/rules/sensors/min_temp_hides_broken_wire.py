"""The minimum temperature cannot notice a broken sensor wire.

A thermistor with a broken wire, or a platinum sensor with a short, reads as extremely cold. The
minimum temperature is what tells that from a cold room. Set below any reading, it lets the
firmware heat at full power to warm up what it believes is frozen.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, fact, origin, stated, value
from pincheck.analysis.sensor_chain import Chain, assumed_sensor, chain
from pincheck.analysis.sensor_limits import COLDEST_C, COLDEST_NTC_C, PLATINUM_C, limit
from pincheck.model.claim import Claim
from pincheck.model.finding import (
    Agreement,
    Change,
    Finding,
    Input,
    Number,
    Severity,
    Unchecked,
)
from pincheck.model.path import Wired
from pincheck.model.role import sibling, split
from pincheck.model.threshold import Threshold
from pincheck.physics.shares import SharesCurve
from pincheck.rules.rule import Outcomes, example, rule
from pincheck.sensors import Sensor

_SURE_NTC_C = Threshold(
    -40.0, "C", "minimum temperature of a thermistor without a table",
    "common practice: with 4.7 k, 100 k come to -40 C at 0.1 % of the range below its end",
    below="not checked: a broken wire may read about as cold", above="agrees",
)  # fmt: skip
_SURE_C = {"ntc": _SURE_NTC_C, "platinum": PLATINUM_C}
"""Every sensor without contact reads colder."""
_USUAL_C = 5.0
_WITHOUT_CONTACT = {"ntc": "broken", "platinum": "shorted"}
"""What the wire of a sensor is that reads the cold end of its table, by the sensor's kind."""


@rule(
    Severity.DANGER,
    source="voltage divider with an open or shorted sensor; common practice for the minimum",
    fires=example("section", ("toolhead.cfg", "min_temp: 0", "min_temp: -250")),
    quiet=example("section", ("toolhead.cfg", "min_temp: 0", "min_temp: -15")),
    thresholds=(COLDEST_NTC_C, _SURE_NTC_C),
)
def min_temp_hides_broken_wire(case: Case) -> Outcomes:
    """Compare each sensor's minimum with its coldest reading, open or shorted."""
    for wired in case.fitted("sensor"):
        if roles.family(wired.role) not in roles.ANALOG or not wired.part.sensor:
            continue
        if not _heats(case, wired.role):
            continue
        claim, found = limit(case, wired.role, "min_c"), chain(case, wired)
        table = case.known(wired.role, "table")
        assumed = assumed_sensor(case, table) if isinstance(table, Claim) else None
        if isinstance(claim, Unchecked):
            yield claim
        elif claim is None and case.claims.has_words_for("min_c"):
            yield Unchecked(wired.role, "min_c", "the files set no lowest temperature")
        elif claim is None:
            continue  # such firmware tells an open sensor from the converter's own reading
        elif assumed and assumed.reads_c and assumed.kind in _WITHOUT_CONTACT:
            yield _at_the_end_of_the_table(wired, claim, assumed, assumed.reads_c[0])
        else:
            yield _by_kind(wired, claim, found)


def _at_the_end_of_the_table(
    wired: Wired, claim: Claim, assumed: Sensor, end_c: float
) -> Agreement | Finding:
    """Judge a minimum by the temperature at which the firmware's own table ends."""
    if value(claim) > end_c:
        return Agreement(claim.role, "min_c")
    own = assumed.source if isinstance(assumed.curve, SharesCurve) else ""
    what, source = _WITHOUT_CONTACT[assumed.kind], own or "the style's public tables"
    return _finding(wired, claim, what, end_c, assumed.name, "cold end of the table", source)


def _by_kind(
    wired: Wired, claim: Claim, found: Chain | Unchecked | None
) -> Agreement | Unchecked | Finding:
    """Judge a minimum by what a sensor of this kind reads without contact at all."""
    kind = "platinum" if isinstance(found, Chain) and found.fitted.kind != "ntc" else "ntc"
    if value(claim) >= _SURE_C[kind]:
        return Agreement(claim.role, "min_c")
    if isinstance(found, Unchecked) and value(claim) >= COLDEST_C["platinum"]:
        return Unchecked(claim.role, "min_c", found.reason)
    if value(claim) > COLDEST_C[kind]:
        reason = f"a sensor without contact reads about {value(claim):.0f} C, too"
        return Unchecked(claim.role, "min_c", reason)
    name = found.assumed.name if isinstance(found, Chain) else "whatever sensor is meant"
    what, clamp = "broken" if kind == "ntc" else "shorted", "clamp of the converter, a few counts"
    how = f"{clamp} before its end"
    return _finding(wired, claim, what, COLDEST_C[kind], name, how, "from memory")


def _finding(
    wired: Wired, claim: Claim, what: str, coldest_c: float, sensor: str, how: str, source: str
) -> Finding:
    given = claimed(claim), Input("sensor", sensor, "", origin(claim))
    coldest = Number("coldest reading without contact", coldest_c, "C", how, given, source)
    return Finding(
        spots=((claim.role, "min_c"),),
        message=(
            f"A {what} wire of the {roles.name(wired.role)} reads {coldest_c:.0f} C at the lowest "
            f"and the minimum is {stated(claim):.0f} C: the firmware takes it for real and heats "
            f"at full power."
        ),
        claims=(claim,),
        facts=(fact(wired, "min_c", wired.part.title or wired.part.id),),
        numbers=(coldest,),
        changes=(Change(claim.role, "min_c", _USUAL_C, claim),),
    )


def _heats(case: Case, sensor_role: str) -> bool:
    """Tell whether some heater follows the sensor: of a chamber that is only measured none does."""
    if split(sensor_role)[0] in ("hotend", "bed"):
        return True
    if split(sensor_role)[0] == "probe":
        return False
    heater = str(sibling(sensor_role, "heater"))
    return bool(case.trace.find(heater)) or heater in case.claims.roles()
