"""What must have been judged before "nothing found" means that a machine may be switched on."""

from collections.abc import Iterable, Iterator

from pincheck.analysis import roles
from pincheck.model.finding import Verdict
from pincheck.model.path import Trace
from pincheck.model.wiring import Assembly

UNKNOWN = "nobody knows where or how it is connected, says the wiring"
_OF_HEATERS = ("pin", "max_c", "protection")
_OF_SENSORS = ("pin", "table")
_IF_SAID = {"heater": ("min_c", "max_power"), "sensor": ("series_ohm",)}
"""What need not be set, and must be judged where it is."""
_HEATED = frozenset(("hotend", "bed", "chamber", "aux"))
_ESSENTIAL = frozenset(
    ("hotend.fan", "probe.signal", *(f"{it}.{of}" for it in _HEATED for of in ("heater", "sensor")))
)


def essential_spots(trace: Trace) -> Iterator[tuple[str, str]]:
    """Yield (role, attribute) of each fitted heater, its sensor, the hot-end fans and the probe.

    A fan straight on the supply needs no setting that starts it; a probe counts where nothing
    else ends the way of the nozzle to the bed.
    """
    fitted = trace.roles()
    for wired in trace.wired:
        group, function = roles.family(wired.role).split(".")
        if function == "heater":
            attributes: tuple[str, ...] = _OF_HEATERS
        elif function == "sensor" and group in _HEATED and wired.part.sensor:
            attributes = _OF_SENSORS
        elif (group, function) == ("hotend", "fan"):
            attributes = ("pin",) if wired.always_on else ("pin", "watches")
        elif roles.stops_the_nozzle(wired.role, fitted):
            attributes = ("pin",)
            if function == "signal":
                yield "z.endstop", "homing_pin"
        else:
            continue
        yield from ((wired.role, attribute) for attribute in attributes)


def unjudged(assembly: Assembly, trace: Trace, verdicts: Iterable[Verdict]) -> Iterator[Verdict]:
    """Yield the essential spots that nothing was said of, or only that they were not checked."""
    for role in assembly.unknown:
        if roles.family(role) in _ESSENTIAL:
            yield Verdict(role, "pin", "not checked", UNKNOWN)
    known = {*trace.roles(), *assembly.unknown}
    fitted = {roles.family(role) for role in known}
    if "hotend.heater" in fitted and "hotend.fan" not in fitted:
        # One fan may serve two hot ends, but none at all is a wiring that leaves it out.
        yield Verdict("hotend.fan", "pin", "not checked", "the wiring describes no hot-end fan")
    found = {(verdict.role, verdict.attribute): verdict for verdict in verdicts}
    for role, attribute in essential_spots(trace):
        nothing = Verdict(role, attribute, "not checked", "the files say nothing of it")
        verdict = found.get((role, attribute), nothing)
        if verdict.state == "not checked":
            yield verdict
        if attribute == "pin":
            said = _IF_SAID.get(roles.function(role), ())
            spoken = (found.get((role, name)) for name in said)
            yield from (v for v in spoken if v is not None and v.state == "not checked")
