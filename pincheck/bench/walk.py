"""The whole list for the first power-on, computed from wiring, physics and configuration."""

from collections.abc import Callable

from pincheck.analysis.case import Case
from pincheck.analysis.meter import Meter
from pincheck.bench.first_heat import OFF, first_heat, heaters, homing, plugs_out
from pincheck.bench.power_off import power_off
from pincheck.bench.power_on import power_on
from pincheck.bench.step import WalkStep
from pincheck.model.finding import Result
from pincheck.model.path import Wired
from pincheck.wiring.copper import Copper, NetKey

ROOM_ID = "room temperature"

LOW_VOLTAGE_V = 50.0
"""Above it a circuit counts as mains: extra-low voltage ends at 50 V AC (IEC 60364-4-41, from
memory)."""


def walk(result: Result, room_c: float | None = None) -> tuple[WalkStep, ...]:
    """Return every step in order: the room, power off, power on without heat, heat, homing.

    `room_c` is the room's temperature as read, the assembly's ambient where nobody read it. Nothing
    on mains has a step: it is neither measured nor switched on here.
    """
    room = result.assembly.ambient_c if room_c is None else room_c
    case = Case(result.claims, result.trace, result.assembly)
    copper, meter = Copper(result.assembly), Meter(result.assembly, room)
    roles, allowed = on_mains(result), _off_mains(copper)
    pulled = heaters(case, roles)
    steps = (
        _room(room),
        *power_off(copper, result.trace.wired, meter),
        *plugs_out(copper, pulled),
        *power_on(case, copper, meter),
        *first_heat(case, copper, meter, pulled),
        *homing(case),
    )
    return tuple(step for step in steps if step.role not in roles and allowed(step))


def on_mains(result: Result) -> tuple[str, ...]:
    """Return the roles whose part, or whatever it is switched by, is at mains voltage."""
    copper = Copper(result.assembly)
    return tuple(wired.role for wired in result.trace.wired if _is_mains(copper, wired))


def _is_mains(copper: Copper, wired: Wired) -> bool:
    boards = copper.assembly.boards
    terminals = (copper.at_terminal(wired.fit, n) for n in range(len(wired.fit.pins)))
    volts = (wired.part.rated_v, wired.supply_v)
    return (
        wired.part.mains
        or any(abs(v or 0.0) > LOW_VOLTAGE_V for v in volts)
        or any(_is_live(copper, key) for key in terminals if key)
        or any(boards[it.board].mains and not boards[it.board].chip for it in wired.path.contacts)
    )


def _is_live(copper: Copper, key: NetKey) -> bool:
    """Tell whether copper alone joins a net to mains; a switch may have a supply of its own."""
    return any(abs(copper.net(it).supply_v or 0.0) > LOW_VOLTAGE_V for it in copper.node(key))


def _off_mains(copper: Copper) -> Callable[[WalkStep], bool]:
    """Return what tells whether no probe of a step comes near mains.

    Of a mainboard with mains on it, only what has no power is measured.
    """
    boards = copper.assembly.boards
    bare = {copper.label(it) for it, board in boards.items() if board.mains and not board.chip}
    fed = {copper.label(it) for it, board in boards.items() if board.mains}
    live = {(copper.label(key[0]), key[1]) for key in copper.nets() if _is_live(copper, key)}

    def allowed(step: WalkStep) -> bool:
        near = fed if step.power == "on" else bare
        return not any(p.board in near or (p.board, p.net) in live for p in step.points)

    return allowed


def _room(room_c: float) -> WalkStep:
    return WalkStep(
        id=ROOM_ID,
        power="off",
        role="",
        title="room temperature",
        do=(f"{OFF} Read a thermometer beside the machine; {room_c:g} C is taken until then."),
        unit="C",
        low=5.0,
        high=40.0,
        too_low="too cold to judge a sensor: let the machine warm up in a room",
        too_high="too warm to judge a sensor: let the machine cool down",
    )
