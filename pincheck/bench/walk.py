"""The whole list for the first power-on, computed from wiring, physics and configuration."""

from pincheck.analysis.case import Case
from pincheck.bench.power_off import power_off
from pincheck.bench.power_on import power_on
from pincheck.bench.step import Step
from pincheck.model.finding import Result
from pincheck.wiring.copper import Copper

ROOM_ID = "room temperature"


def walk(result: Result, room_c: float | None = None) -> tuple[Step, ...]:
    """Return every step in order: the room, power off, power on.

    `room_c` is the room's temperature as read, the assembly's ambient where nobody read it.
    """
    room = result.assembly.ambient_c if room_c is None else room_c
    case = Case(result.claims, result.trace, result.assembly)
    copper = Copper(result.assembly)
    return (
        _room(room),
        *power_off(copper, result.trace.wired, room),
        *power_on(case, copper, room),
    )


def _room(room_c: float) -> Step:
    return Step(
        id=ROOM_ID,
        power="off",
        role="",
        title="room temperature",
        do=(
            "Switch off, pull the mains plug, wait until every light on the boards is out. Read "
            f"a thermometer beside the machine; {room_c:g} C is taken until then."
        ),
        unit="C",
        low=5.0,
        high=40.0,
        too_low="too cold to judge a sensor: let the machine warm up in a room",
        too_high="too warm to judge a sensor: let the machine cool down",
    )
