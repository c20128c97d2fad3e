"""From every role to its chip pin, and what the copper does to the part on the way."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from attrs import evolve

from pincheck.model.path import Path, Trace, Wired
from pincheck.model.role import split
from pincheck.model.wiring import Assembly, Fit, Itself, Switch
from pincheck.wiring import faults, route
from pincheck.wiring.copper import Canonical, Copper, Drive, NetKey

_OWN: Mapping[str, tuple[str, ...]] = {
    "servo": ("control",),
    "signal": ("signal", "any"),
    "endstop": ("signal", "any"),
    "sensor": ("signal", "any"),
    "motor": ("coil",),
    "tachometer": ("tachometer",),
}
"""The terminals through which a role reads or drives its part, by function."""

_LEAST_V = 0.5
"""Less between two rails is a slip of the description and supplies nothing."""

_OWN_LOAD = ("control", "switched", "any", "signal", "supply", "ground")


def trace(assembly: Assembly, canonical: Canonical | None = None) -> Trace:
    """Return what the copper does for every fitted role, and what is wrong in it.

    `canonical` turns a chip's name and a pin as its board writes it into the pin's canonical name;
    without it pins stay as written. The same assembly is followed once, however often asked.
    """
    return _traced(Itself(assembly), canonical)


@lru_cache(maxsize=8)
def _traced(of: Itself, canonical: Canonical | None) -> Trace:
    copper = Copper(of.assembly, canonical)
    wired = _with_mates(
        _wired(copper, fit, role) for fit in of.assembly.fits for role in fit.part.serves(fit.role)
    )
    return Trace(wired, tuple(faults.find(copper, wired)))


def own_terminal(copper: Copper, fit: Fit, role: str) -> int | None:
    """Return the terminal that a role reads or drives, None where the part has none.

    Of several that could be, a driven one comes before one that is on no rail, that before any.
    """
    wanted = _OWN.get(split(role)[2], _OWN_LOAD)
    could = [
        terminal
        for want in wanted
        for terminal, wants in enumerate(fit.part.terminals)
        if wants == want
    ]
    # A named terminal decides alone; only equal or two-way ones are told apart by the copper.
    if could and fit.part.terminals[could[0]] in ("control", "signal", "tachometer"):
        return could[0]
    keys = {terminal: copper.at_terminal(fit, terminal) for terminal in could}
    driven = [t for t, key in keys.items() if key and any(copper.drives(copper.node(key)))]
    live = (t for t, key in keys.items() if key and copper.volts(key))
    free = (t for t, key in keys.items() if copper.volts(key) is None)
    first_live = live if "any" in fit.part.terminals else iter(())
    # A rail that a slip of the wiring joins to some switch is no part's own line.
    off_rails = (t for t in driven if copper.volts(keys[t]) is None)
    for choice in (off_rails, iter(driven), free, first_live, iter(could)):
        found = next(choice, None)
        if found is not None:
            return found
    return None


def _wired(copper: Copper, fit: Fit, role: str) -> Wired:
    own = own_terminal(copper, fit, role)
    if fit.connector is None or own is None:
        kind = "has no wires" if not fit.part.terminals else f"has no terminal for {role}"
        return Wired(role, fit, fit.part, route.unwired(fit), reason=f"a {fit.part.kind} {kind}")
    key = copper.at_terminal(fit, own)
    drives = list(copper.drives(copper.node(key))) if key else []
    drive = min(drives, key=lambda drive: _length(copper, drive, key), default=None)
    base = Wired(role, fit, fit.part, _path(copper, drive, key, fit, own))
    if drive is None:
        base = evolve(base, reason=_nowhere(copper, fit, own, key))
    elif drive.driver:
        board, name = drive.driver
        base = evolve(base, reason=f"hangs on driver {name} of {copper.label(board)}")
    else:
        base = evolve(base, place=drive.place, switched_net=_switched(copper, drive))
    return _supplied(copper, base, own, drive)


def _path(copper: Copper, drive: Drive | None, key: NetKey | None, fit: Fit, own: int) -> Path:
    if drive:
        return route.from_drive(copper, drive, fit, own)
    return route.from_net(copper, key, fit, own) if key else route.unwired(fit)


def _length(copper: Copper, drive: Drive, key: NetKey | None) -> int:
    return len(copper.route(drive.links[-1], key)) + len(drive.links) if key else 0


def _nowhere(copper: Copper, fit: Fit, own: int, key: NetKey | None) -> str:
    pin = copper.socket(fit, own)
    if key is None:
        return f"{pin} is not connected"
    node = copper.node(key)
    rail = next(iter(copper.feeds(node)), None)
    if rail:
        return f"{pin} is on {rail[1]} of {copper.label(rail[0])}"
    others = [f"{net} of {copper.label(other)}" for other, net in node if (other, net) != key]
    open_ends = [f"{name} {n} of {copper.label(at)}, which is not connected"
                 for at, name, n in copper.open_ends(node)]  # fmt: skip
    leads = " and ".join([*others, *open_ends][:4])
    where = f"leads to {leads} only" if leads else "leads nowhere"
    return f"{key[1]} of {copper.label(key[0])} {where}"


def _switched(copper: Copper, drive: Drive) -> NetKey | None:
    return next((link for link in reversed(drive.links) if copper.net(link).switch), None)


def _supplied(copper: Copper, wired: Wired, own: int, drive: Drive | None) -> Wired:
    """Return the role with its other conductor: the supply, or the return of a two-wire part."""
    fit, wants = wired.fit, wired.part.terminals
    if wired.part.kind == "motor":
        return wired
    plus = _first(wants, "supply", but=own)
    minus = _first(wants, "ground", but=own)
    if plus is None or minus is None:
        plus, minus = _first(wants, "supply", "any", "switched", "ground", but=own), None
    if plus is None:
        return wired
    key = copper.at_terminal(fit, plus)
    volts = copper.volts(key)
    if key is None or volts is None:
        return wired
    feed = _feed(copper, key)
    wired = evolve(wired, supply=route.from_net(copper, feed, fit, plus))
    two_wire = minus is None
    # What only closes a contact or changes its resistance is fed by the chip's pull-up.
    if two_wire and split(wired.role)[2] in ("sensor", "signal", "endstop", "tachometer"):
        return wired
    if two_wire and drive:
        low = _other_side(copper, drive)
    else:
        low = copper.volts(copper.at_terminal(fit, own if two_wire else minus or 0))
    if low is None or abs(volts - low) < _LEAST_V:
        return wired
    # Behind a high-side switch the driven terminal is the fed one, and the other the return.
    if low > volts:
        feed = _rail_of(copper, drive, low) or feed
    across = abs(volts - low)
    return evolve(
        wired,
        supply_v=across,
        supply_rail=feed,
        supply_max_a=_rail_max_a(copper, feed),
    )


def _feed(copper: Copper, key: NetKey) -> NetKey:
    """Return the rail that current comes from: the main board's supply, else the nearest one.

    A tool-head board's own supply rail, when cabled to the main board's, is fed through the cable.
    """
    main = copper.assembly.main
    supply_v = copper.assembly.boards[main].supply_v if main else None

    def rank(feed: NetKey) -> tuple[bool, int]:
        from_main = feed[0] == main and copper.net(feed).supply_v in (supply_v, 0.0)
        return not from_main, len(copper.route(feed, key))

    return min(copper.feeds(copper.node(key)), key=rank)


def _first(wants: Sequence[str], *wanted: str, but: int) -> int | None:
    at = (t for want in wanted for t, it in enumerate(wants) if it == want and t != but)
    return next(at, None)


def _other_side(copper: Copper, drive: Drive) -> float | None:
    """Return the volts at a load's driven terminal while it is on."""
    link = _switched(copper, drive)
    switch: Switch | None = copper.net(link).switch if link else None
    if link is None or switch is None or switch.side == "low":
        return 0.0
    given = copper.net(link).supply_v
    return given if given is not None else copper.assembly.boards[link[0]].supply_v


def _rail_of(copper: Copper, drive: Drive | None, volts: float) -> NetKey | None:
    """Return the rail that a high-side switch takes its current from."""
    link = _switched(copper, drive) if drive else None
    if link is None:
        return None
    board = copper.assembly.boards[link[0]]
    rails = ((link[0], name) for name, net in board.nets.items() if net.supply_v == volts)
    return next(filter(copper.is_rail, rails), None)


def _rail_max_a(copper: Copper, rail: NetKey) -> float | None:
    board, net = copper.assembly.boards[rail[0]], copper.net(rail)
    whole = board.supply_max_a if net.supply_v == board.supply_v else None
    return min((limit for limit in (net.max_a, whole) if limit), default=None)


def _with_mates(all_wired: Iterator[Wired]) -> tuple[Wired, ...]:
    wired = tuple(all_wired)
    on: dict[NetKey, list[str]] = defaultdict(list)
    for each in wired:
        if each.switched_net:
            on[each.switched_net].append(each.role)
    return tuple(
        evolve(each, switch_mates=tuple(r for r in on[each.switched_net] if r != each.role))
        if each.switched_net
        else each
        for each in wired
    )
