"""Pins, their sense and their pulls, as the copper asks for them."""

from collections.abc import Iterator

from pincheck.analysis import polarity, roles
from pincheck.analysis.pairings import home, same_job
from pincheck.maker.place import place_words
from pincheck.maker.want import Want
from pincheck.model.claim import PinValue, Place
from pincheck.model.path import Trace, Wired
from pincheck.model.wiring import Assembly

_HOMED = "z.endstop"


def led(trace: Trace) -> Iterator[tuple[Wired, Place]]:
    """Yield every part with its chip pin; of parts of one kind on one pin only the first."""
    seen: dict[Place, str] = {}
    for wired in trace.wired:
        place = home(wired)
        if place and not (place in seen and same_job(wired.role, seen[place])):
            seen[place] = wired.role
            yield wired, place


def pins(assembly: Assembly, trace: Trace) -> Iterator[Want]:
    """Yield pin, inversion and pull of every part that hangs on a chip pin."""
    for wired, place in led(trace):
        role = wired.role
        yield Want(role, "pin", PinValue(place.pin, place), _why(assembly, wired, place))
        must = polarity.must_invert(wired)
        has_sense = roles.function(role) in polarity.LOADS or polarity.reads_input(wired)
        if must is not None and has_sense:
            yield Want(role, "inverted", must, _sense(wired, must))
        if polarity.reads_input(wired) and (pull := polarity.pull_needed(wired)):
            yield Want(role, "pull", pull, f"nothing on the boards pulls the line {pull}")
    if trace.find("probe.signal") and not trace.find(_HOMED):
        why = "no end stop is fitted: the probe homes"
        yield Want(_HOMED, "homing_pin", PinValue("probe", virtual=True), why)


def _why(assembly: Assembly, wired: Wired, place: Place) -> str:
    at = wired.fit.connector
    socket = f"{assembly.boards[at[0]].title} {at[1]}" if at else ""
    others = [roles.name(role) for role in wired.switch_mates if same_job(role, wired.role)]
    with_ = f", with the {roles.listed(others)}" if others else ""
    return f"{roles.name(wired.role)}: {place_words(assembly, place)} leads to {socket}{with_}"


def _sense(wired: Wired, must: bool) -> str:
    if roles.family(wired.role) == "filament.sensor":
        return f"filament is there while the pin is {'low' if must else 'high'}"
    state = "triggered" if polarity.reads_input(wired) else "on"
    return f"{state} while the pin is {'low' if must else 'high'}"
