"""What is wrong in the copper itself, whatever the firmware says."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations

from pincheck.model.claim import Place
from pincheck.model.path import Wired, WiringFault
from pincheck.model.role import split
from pincheck.model.source import Span
from pincheck.model.wiring import Fit
from pincheck.wiring.copper import Copper, Drive, NetKey, Node

_SENSOR_V = 5.0
_ALWAYS_GROUNDED = ("probe", "endstop", "servo")
"""Parts that are read or driven over a line of their own: without ground its level says nothing."""

_AVR = ("atmega", "at90")


def find(copper: Copper, wired: Sequence[Wired]) -> Iterator[WiringFault]:
    """Yield every fault, what joins whole nets first."""
    fights = {node for node in copper.nodes() if len(set(_all_volts(copper, node))) > 1}
    for node in copper.nodes():
        if node in fights:
            yield _joined(copper, wired, node)
        else:
            yield from _fed_signals(copper, wired, node)
    yield from _shared_pins(copper, wired)
    yield from _two_places(copper, wired)
    for each in wired:
        yield from _no_chip_pin(each)
    for fit in copper.assembly.fits:
        roles = tuple(each.role for each in wired if each.fit is fit)
        yield from _terminals(copper, fit, roles, fights)


def logic_v(chip: str) -> float:
    """Return the supply of a chip's pins: 5 V for AVR chips, 3.3 V else (common practice)."""
    return 5.0 if chip.lower().startswith(_AVR) else 3.3


def _all_volts(copper: Copper, node: Node) -> Iterator[float]:
    yield from (copper.net(key).supply_v or 0.0 for key in copper.rails(node))


def _name(copper: Copper, key: NetKey) -> str:
    return f"{key[1]} of {copper.label(key[0])}"


def _volts(volts: float) -> str:
    return f"{volts:g} V" if volts else "ground"


def _roles_on(copper: Copper, wired: Sequence[Wired], node: Node) -> tuple[str, ...]:
    fits = {fit.name for fit, _ in copper.ends(node)}
    found = tuple(each.role for each in wired if each.fit.name in fits)
    boards = {board for board, _ in node}
    near = (each.role for each in wired if each.fit.connector and each.fit.connector[0] in boards)
    return found or tuple(near)


def _cable_at(copper: Copper, node: Node) -> Span | None:
    inside = set(node)
    joins = (
        cable.at
        for cable in copper.assembly.cables
        for here, _ in cable.pairs
        if copper.at_pin(cable.from_, here) in inside
    )
    return next(joins, copper.net(node[0]).at)


def _joined(copper: Copper, wired: Sequence[Wired], node: Node) -> WiringFault:
    rails = copper.rails(node)
    fed = copper.feeds(node)
    fed_volts = {copper.net(key).supply_v for key in fed}
    named = {copper.net(key).supply_v: key for key in rails}
    listed = " and ".join(f"{_name(copper, key)} ({_volts(v or 0.0)})" for v, key in named.items())
    if len(fed_volts) > 1:
        what = "a short circuit" if 0.0 in fed_volts else "one supply feeds into the other"
        message = f"{listed} are joined: {what} as soon as there is power"
    elif fed:
        wanted = " or ".join(_volts(v or 0.0) for v in named if v not in fed_volts)
        message = f"{listed} are joined: what expects {wanted} gets {_name(copper, fed[0])}"
    else:
        message = f"{listed} are joined"
    return WiringFault(
        "supplies-joined",
        _roles_on(copper, wired, node),
        message,
        volts=tuple(sorted(set(_all_volts(copper, node)))),
        at=_cable_at(copper, node),
    )


def _fed_signals(copper: Copper, wired: Sequence[Wired], node: Node) -> Iterator[WiringFault]:
    """Yield each chip pin, switch or motor driver whose net stands on a rail."""
    feeds = copper.feeds(node)
    if not feeds:
        return
    rail, volts = feeds[0], copper.net(feeds[0]).supply_v or 0.0
    for drive in copper.drives(node):
        link = copper.net(drive.links[-1])
        ends = [f"{role}" for role in _roles_on(copper, wired, node)]
        yield WiringFault(
            "supply-on-signal",
            tuple(ends),
            f"{_name(copper, rail)} ({_volts(volts)}) is joined to {_name(copper, drive.links[-1])}"
            f": {_consequence(copper, drive, volts)}",
            volts=(volts,),
            at=_cable_at(copper, node) or link.at,
        )


def _consequence(copper: Copper, drive: Drive, volts: float) -> str:
    link = copper.net(drive.links[-1])
    if drive.driver:
        return f"motor driver {drive.driver[1]} works against it"
    assert drive.place is not None
    pin = f"{drive.place.pin} of {copper.label(drive.place.board)}"
    if link.switch:
        off_side = volts == 0.0 if link.switch.side == "low" else volts > 0.0
        if off_side:
            return f"the load is on whatever {pin} does"
        return f"the switch of {pin} makes a short circuit when it closes"
    logic = logic_v(copper.assembly.boards[drive.place.board].chip)
    at_pin = volts * link.divider.ratio if link.divider else volts
    if at_pin > logic:
        return f"{pin} gets {at_pin:.3g} V and stands {logic:g} V"
    return f"{pin} is held at {_volts(at_pin)} and can say nothing else"


def _shared_pins(copper: Copper, wired: Sequence[Wired]) -> Iterator[WiringFault]:
    by_place: dict[Place, list[Wired]] = defaultdict(list)
    for each in wired:
        if each.place:
            by_place[each.place].append(each)
    for place, users in by_place.items():
        if any(_collide(one.role, two.role) for one, two in combinations(users, 2)):
            roles = tuple(each.role for each in users)
            yield WiringFault(
                "shared-pin",
                roles,
                f"{place.pin} of {copper.label(place.board)} serves {' and '.join(roles)} at once",
                path=users[-1].path,
                at=users[-1].fit.at,
            )


def _collide(one: str, two: str) -> bool:
    """Whether two roles on one pin cannot both work; loads of one kind may run side by side."""
    (group, _, function), (other_group, _, other) = split(one), split(two)
    return (group, function) != (other_group, other) or function in ("sensor", "signal", "servo")


def _two_places(copper: Copper, wired: Sequence[Wired]) -> Iterator[WiringFault]:
    seen = set[Node]()
    for each in wired:
        if not each.place or each.fit.connector is None:
            continue
        for node in dict.fromkeys(map(copper.node, _keys(copper, each.fit))):
            if node in seen:
                continue
            seen.add(node)
            places = dict.fromkeys(drive.place for drive in copper.drives(node) if drive.place)
            if len(places) > 1:
                pins = " and ".join(f"{p.pin} of {copper.label(p.board)}" for p in places)
                yield WiringFault(
                    "shared-pin",
                    _roles_on(copper, wired, node),
                    f"{pins} are joined: two chip pins work on one net",
                    path=each.path,
                    at=each.fit.at,
                )


def _no_chip_pin(wired: Wired) -> Iterator[WiringFault]:
    if wired.place or wired.path.driver or wired.fit.connector is None:
        return
    yield WiringFault(
        "no-chip-pin",
        (wired.role,),
        f"{wired.role} reaches no chip pin: {wired.reason}",
        path=wired.path,
        at=wired.fit.at,
    )


def _keys(copper: Copper, fit: Fit) -> Iterator[NetKey]:
    for terminal, wants in enumerate(fit.part.terminals):
        key = copper.at_terminal(fit, terminal)
        if wants and key:
            yield key


def _terminals(
    copper: Copper, fit: Fit, roles: tuple[str, ...], fights: set[Node]
) -> Iterator[WiringFault]:
    """Yield what single terminals of a part get wrong, unless their nets fight already."""
    if fit.connector is None or any(copper.node(key) in fights for key in _keys(copper, fit)):
        return
    wants = fit.part.terminals
    keys = [copper.at_terminal(fit, terminal) for terminal in range(len(wants))]
    volts = [copper.volts(key) for key in keys]
    live = tuple(
        (key, v)
        for want, key, v in zip(wants, keys, volts, strict=True)
        if v and not _driven(copper, key) and _is_signal(fit, want, v)
    )
    if live:
        key, v = live[0]
        wire = "a coil" if fit.part.kind == "motor" else "the signal wire"
        message = f"{wire} of {roles[0]} is on {_volts(v)}"
        # A net that is no rail of its own board got there over a cable.
        at = fit.at if key is None or copper.is_rail(key) else _cable_at(copper, copper.node(key))
        yield WiringFault("supply-on-signal", roles, message, volts=(v,), at=at or fit.at)
        return  # the same plug explains a supply that is missing
    if fit.part.kind == "motor":
        yield from _coils(copper, fit, roles, keys)
    elif fit.part.kind in ("sensor", "endstop") and len(list(filter(None, wants))) == 2:
        yield from _return(copper, fit, roles, keys)
    if _turned(copper, fit, keys, volts):
        message = f"supply and return of {fit.part.id} for {roles[0]} are the wrong way round"
        yield WiringFault("reversed", roles, message, at=fit.at)
        return
    two_wire = len(list(filter(None, wants))) == 2
    told = set[str]()
    for number, want in enumerate(wants):
        # A switch may stand in for a rail; a bare signal may for a two-wire load only.
        stands_in = _driven(copper, keys[number], by_switch=not two_wire)
        if want == "ground" and fit.part.kind in _ALWAYS_GROUNDED:
            stands_in = False
        if want in ("supply", "ground") and volts[number] is None and not stands_in:
            fault = _unfed(copper, fit, roles, number, want)
            if fault.message not in told:
                told.add(fault.message)
                yield fault
    if set(wants) == {"any"} and (reason := _same_level(copper, keys, volts)):
        yield WiringFault("no-supply", roles, f"{roles[0]} gets no supply: {reason}", at=fit.at)
    if set(wants) <= {"any", "switched"} or wants == ("signal", "any"):
        free = [n for n, v in enumerate(volts) if v is None and not _driven(copper, keys[n])]
        if len(free) == 1 or len(free) == len(wants) > 0:
            yield _unfed(copper, fit, roles, free[-1], "second")


def _return(
    copper: Copper, fit: Fit, roles: tuple[str, ...], keys: Sequence[NetKey | None]
) -> Iterator[WiringFault]:
    """Yield a bare contact or resistance between a chip pin and a line that something drives."""
    driven = [key for key in keys if key and _driven(copper, key)]
    if len(set(map(copper.node, driven))) < 2 or any(copper.net(key).amplifier for key in driven):
        return
    switched = [key for key in driven if _driven(copper, key, by_switch=True)]
    line = switched[0] if switched else driven[-1]
    by = "a switch" if switched else "the chip or a motor driver"
    message = f"{roles[0]} hangs on {_name(copper, line)}, which {by} drives, instead of ground"
    yield WiringFault("return-driven", roles, message, at=fit.at)


def _same_level(
    copper: Copper, keys: Sequence[NetKey | None], volts: Sequence[float | None]
) -> str:
    """Return why a closed switch gives a load no voltage, empty where it does."""
    for key, at in zip(keys, volts, strict=True):
        if key is None or at is not None:
            continue
        drives = copper.drives(copper.node(key))
        links = (copper.net(n) for drive in drives for n in reversed(drive.links))
        switch = next((link.switch for link in links if link.switch), None)
        others = [v for v in volts if v is not None]
        if switch and others and all((v == 0.0) == (switch.side == "low") for v in others):
            return (
                f"its {switch.side}-side switch and its other wire are both on {_volts(others[0])}"
            )
    return ""


def _driven(copper: Copper, key: NetKey | None, by_switch: bool = False) -> bool:
    drives = copper.drives(copper.node(key)) if key else iter(())
    return any(not by_switch or any(copper.net(n).switch for n in drive.links) for drive in drives)


def _is_signal(fit: Fit, want: str, volts: float) -> bool:
    """Whether no rail of these volts belongs on a terminal; some sensors are fed up to 5 V."""
    bare = want == "any" and fit.part.kind in ("sensor", "endstop")
    return want in ("signal", "control", "coil", "tachometer") or (bare and volts > _SENSOR_V)


def _coils(
    copper: Copper, fit: Fit, roles: tuple[str, ...], keys: Sequence[NetKey | None]
) -> Iterator[WiringFault]:
    """Yield a motor whose coils do not all hang on one driver; one on none is told elsewhere."""
    drivers = [
        next((d.driver for d in copper.drives(copper.node(key)) if d.driver), None) if key else None
        for key in keys
    ]
    found = dict.fromkeys(filter(None, drivers))
    if len(found) > 1:
        names = " and ".join(f"driver {name} of {copper.label(board)}" for board, name in found)
        message = f"the coils of {roles[0]} hang on {names}"
        yield WiringFault("no-supply", roles, message, at=fit.at)
    elif found and None in drivers:
        yield _unfed(copper, fit, roles, drivers.index(None), "coil")
    elif found:
        yield from _crossed(copper, fit, roles, keys, next(iter(found)))


def _crossed(
    copper: Copper,
    fit: Fit,
    roles: tuple[str, ...],
    keys: Sequence[NetKey | None],
    driver: tuple[str, str],
) -> Iterator[WiringFault]:
    """Yield a coil of a motor between two outputs of its driver, where the board lists them."""
    board, name = driver
    nets = copper.assembly.boards[board].drivers[name].coils
    coil_of = {copper.node((board, net)): number // 2 for number, net in enumerate(nets)}
    ends = [coil_of.get(copper.node(key)) if key else None for key in keys]
    if len(ends) == 4 and None not in ends and (ends[0] != ends[1] or ends[2] != ends[3]):
        wrong = ", ".join(copper.socket(fit, terminal) for terminal in range(4))
        message = (
            f"a coil of {roles[0]} hangs between the two outputs of driver {name} of "
            f"{copper.label(board)} ({wrong})"
        )
        yield WiringFault("coils-crossed", roles, message, at=fit.at)


def _unfed(
    copper: Copper, fit: Fit, roles: tuple[str, ...], terminal: int, want: str
) -> WiringFault:
    key = copper.at_terminal(fit, terminal)
    reason = f"{copper.socket(fit, terminal)} is not connected"
    if key:
        reason = f"no board feeds {_name(copper, key)}"
        if _driven(copper, key, by_switch=True):
            reason = f"a switch drives {_name(copper, key)}, and is open while it is off"
    words = {"supply": "gets no supply", "ground": "has no way to ground"}
    what = words.get(want, "is an open circuit")
    return WiringFault("no-supply", roles, f"{roles[0]} {what}: {reason}", at=fit.at)


def _turned(
    copper: Copper, fit: Fit, keys: Sequence[NetKey | None], volts: Sequence[float | None]
) -> bool:
    wants = fit.part.terminals
    plus = [number for number, want in enumerate(wants) if want == "supply"]
    minus = [number for number, want in enumerate(wants) if want in ("ground", "switched")]
    if any(volts[n] == 0.0 for n in plus) or any(volts[n] for n in minus if wants[n] == "ground"):
        return True
    driven_plus = any(_driven(copper, keys[n]) for n in plus)
    return driven_plus and any(volts[n] for n in minus)
