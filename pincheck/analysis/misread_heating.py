"""What the firmware does when it heats by a reading that is wrong: simulated from cold to the end.

First it holds the cold reading against its limits, then it heats at full power while that is below
the target. The reading may rise or fall; the heater may be too weak to get there, and the
protection may stop it before.
"""

from collections.abc import Callable

from pincheck.analysis import roles
from pincheck.analysis.case import Case, value
from pincheck.analysis.heater_faults import between
from pincheck.analysis.heater_scene import Scene, scene, settable_c
from pincheck.analysis.sensor_chain import Chain
from pincheck.analysis.sensor_limits import limit
from pincheck.model.claim import Claim
from pincheck.model.frozen import frozen
from pincheck.model.role import sibling
from pincheck.physics.believed import reading
from pincheck.physics.misread import warm_up_as_read
from pincheck.physics.protection import FaultOutcome
from pincheck.physics.thermal import settle_c


@frozen
class MisreadHeating:
    """What comes of a target: in words, and how hot the part gets, None where it stays cold."""

    text: str
    hottest_c: float | None


def heated_by_reading(case: Case, chain: Chain, wanted_c: float) -> MisreadHeating:
    """Return what the firmware does when asked for a temperature, or for the most it takes."""
    role = str(sibling(chain.wired.role, "heater"))
    ambient_c, highest = case.assembly.ambient_c, settable_c(case, role)
    target_c = wanted_c if highest is None else min(wanted_c, highest)
    cold_c = believed(chain)(ambient_c)
    if stopped := _stopped_cold(case, chain, cold_c):
        return MisreadHeating(stopped, None)
    asked = f"asked for {target_c:.0f} C"
    if cold_c >= target_c:
        text = f"{asked} it never heats, for it reads {cold_c:.0f} C when cold"
        return MisreadHeating(text, None)
    really = chain.really_c(target_c)
    true_c = really.true_c if really and really.true_c > ambient_c else None
    past = {"high": "more than ", "low": "less than "}.get(really.end, "") if really else ""
    wired = case.trace.find(role)
    found = scene(case, wired, even_off=True) if wired else "no heater is fitted"
    if isinstance(found, str):
        if really is None or true_c is None:
            return MisreadHeating(f"{asked} it heats on and on, for it never reads that", None)
        return MisreadHeating(f"{asked} it heats to {past}{true_c:.0f} C", true_c)
    return _simulated(found, chain, target_c, true_c, past)


def believed(chain: Chain) -> Callable[[float], float]:
    """Return what maps true to believed temperatures, the fitted curve held at its ends."""
    low, high = chain.curve.low_c, chain.curve.high_c
    ends = chain.curve, chain.divider, chain.assumed_curve, chain.assumed_divider
    return lambda true_c: reading(min(max(true_c, low), high), *ends).believed_c


def _stopped_cold(case: Case, chain: Chain, cold_c: float) -> str:
    low, high = (limit(case, chain.wired.role, name) for name in ("min_c", "max_c"))
    for bound, side, past in ((low, "below its minimum", -1), (high, "above its maximum", 1)):
        if isinstance(bound, Claim) and (cold_c - value(bound)) * past > 0:
            return (
                f"cold it reads {cold_c:.0f} C, {side} of {value(bound):.0f} C: the firmware stops "
                f"with a fault and nothing ever heats"
            )
    return ""


def _simulated(
    found: Scene, chain: Chain, target_c: float, true_c: float | None, past: str
) -> MisreadHeating:
    believe, asked = believed(chain), f"asked for {target_c:.0f} C"
    hottest = settle_c(found.quick.heater.power_w, found.ambient_c, found.quick.block)
    if past and true_c is not None and hottest > true_c:
        # As far as the part's curve is known: what it reads beyond nobody can tell.
        target_c = min(target_c, believe(true_c))
    scenes = (found.slow, found.quick) if found.heated.assumed else (found,)
    ends = [
        warm_up_as_read(it.block, it.heater.power_w, target_c, it.protection, believe, it.ambient_c)
        for it in scenes
    ]
    reached = [end.reaches_s is not None for end in ends]
    hot = [_hottest_c(end, true_c) for end in ends]
    if all(reached):
        return MisreadHeating(f"{asked} it heats to {past}{hot[0]:.0f} C", hot[0])
    if any(reached):
        so_far = f"{asked} it heats towards {past}{max(hot):.0f} C and gets to {between(hot, 'C')}"
        if past:
            so_far = f"{asked} it heats to {past}{max(hot):.0f} C, {min(hot):.0f} C at least"
        return MisreadHeating(f"{so_far}, as far as power and protection let it", max(hot))
    what, falls = roles.heated(found.wired.role), believe(found.at_c) < believe(found.ambient_c)
    reads = ", and reads ever less" if falls else ""
    cuts = [end.cut_after_s for end in ends if end.cut_after_s is not None]
    if not cuts:
        text = f"{asked} it heats at full power for ever{reads}: the {what} settles at"
    elif len(cuts) < len(ends):
        text = f"{asked} it heats at full power{reads} and is cut late or never, the {what} at"
    else:
        after = between(cuts, "s")
        text = (
            f"{asked} it heats at full power{reads}, until it is cut after {after}, the {what} at"
        )
    return MisreadHeating(f"{text} {between(hot, 'C')}", max(hot))


def _hottest_c(end: FaultOutcome, true_c: float | None) -> float:
    """Return where the part is held, where it is when it is cut, else where it settles."""
    if end.reaches_s is not None and true_c is not None:
        return true_c
    return end.peak_c if end.block_c_at_cut is None else end.block_c_at_cut
