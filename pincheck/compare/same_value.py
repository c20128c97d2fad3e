"""Whether two values that two configurations claim are one and the same."""

from pincheck.compare.difference import ClaimState
from pincheck.maker.believed import believed
from pincheck.model.claim import Claim, Claims, PinValue, SensorValue
from pincheck.physics.curve import Curve, OutOfRange
from pincheck.sensors import hot_c

SAME_SHARE = 0.005
"""Two figures within half a percent are one: duties are written in 256 steps, currents as peak."""

SAME_K = 2.0
"""Two sensor curves this close at every temperature are one."""

_PROBED_C = (25.0, 60.0, 100.0, 150.0, 200.0, 240.0)

_Compared = tuple[ClaimState, str]


def compared(one: Claim, other: Claim, sides: tuple[Claims, Claims]) -> _Compared:
    """Return the state of two claims of one spot, and a note."""
    if doubt := one.doubt or other.doubt:
        same = one.doubt == other.doubt and one.value == other.value
        return ("same", f"both: {doubt}") if same else ("not comparable", doubt)
    mine, theirs = one.value, other.value
    if isinstance(mine, PinValue) and isinstance(theirs, PinValue):
        return _pins(mine, theirs, same_style=sides[0].style == sides[1].style)
    if isinstance(mine, SensorValue) and isinstance(theirs, SensorValue):
        return _sensors(one, other, sides)
    if isinstance(mine, bool) or isinstance(theirs, bool):
        return _plain(mine is theirs)
    if isinstance(mine, int | float) and isinstance(theirs, int | float):
        return _plain(abs(mine - theirs) <= SAME_SHARE * max(abs(mine), abs(theirs)))
    return _plain(mine == theirs)


def _plain(same: bool) -> _Compared:
    return ("same" if same else "changed"), ""


def _pins(one: PinValue, other: PinValue, *, same_style: bool) -> _Compared:
    for value in (one, other):
        if value.unknown and not (same_style and one.written == other.written):
            return "not comparable", value.unknown
    if one.unknown:
        return "same", f"the same name in both; {one.unknown}"
    states = [(value.place, value.absent, value.virtual) for value in (one, other)]
    return _plain(states[0] == states[1])


def _sensors(one: Claim, other: Claim, sides: tuple[Claims, Claims]) -> _Compared:
    mine, theirs = (believed(claim, of) for claim, of in zip((one, other), sides, strict=True))
    if mine is None or theirs is None:
        unknown = one.value if mine is None else other.value
        assert isinstance(unknown, SensorValue)
        return "not comparable", unknown.unknown or f"nobody knows what {unknown.written} assumes"
    if mine.curve is None or theirs.curve is None:
        return _plain(mine.id == theirs.id)
    at_c, off_k = _worst(mine.curve, theirs.curve, hot_c(one.role))
    if abs(off_k) <= SAME_K:
        return "same", f"the curves are within {SAME_K:g} K of each other"
    side = "hotter" if off_k > 0 else "colder"
    return (
        "changed",
        f"where the first reads {at_c:.0f} C the second reads {abs(off_k):.0f} K {side}",
    )


def _worst(one: Curve, other: Curve, top_c: float) -> tuple[float, float]:
    """Return where two curves are furthest apart: C of the first, and K of the second over it."""
    found = [
        (at, _temp_c(other, one.ohm(at)) - at)
        for at in _PROBED_C
        if one.low_c <= at <= min(one.high_c, top_c)
    ]
    return max(found, key=lambda row: abs(row[1]), default=(25.0, float("inf")))


def _temp_c(curve: Curve, ohm: float) -> float:
    """Return a curve's temperature for a resistance, held at its ends."""
    try:
        return curve.temp_c(ohm)
    except OutOfRange:
        ends = ((abs(curve.ohm(at) - ohm), at) for at in (curve.low_c, curve.high_c))
        return min(ends)[1]
