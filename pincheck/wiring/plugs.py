"""Where a plug can go on wrong: turned, mirrored, shifted, on its neighbour; what forbids it."""

from collections.abc import Callable, Iterator
from itertools import combinations
from typing import Literal

from attrs import evolve

from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly, Cable, Connector, Fit

ConnectorKey = tuple[str, str]
"""(board key, connector's name)."""

Cell = tuple[int, int]
"""(column, row) of a pin, both from 0."""

MatingKind = Literal["turned", "mirrored", "shifted", "swapped"]


@frozen
class Placement:
    """One wrong way to put a plug on its own pins.

    `meets` is the pin that each hole of the plug meets, from hole 1 on, 0 for none.
    """

    kind: MatingKind
    how: str
    meets: tuple[int, ...]


@frozen
class Mating:
    """One plug put on wrong; `prevented_by` names what forbids it, empty where nothing does.

    A plug that is `swapped` goes on the pins of `other`, and that one's plug, if any, on its own.
    """

    connector: ConnectorKey
    kind: MatingKind
    how: str
    meets: tuple[int, ...] = ()
    other: ConnectorKey | None = None
    prevented_by: tuple[str, ...] = ()


def cells(connector: Connector) -> tuple[Cell, ...]:
    """Return where each pin stands, from pin 1 on."""
    per_row = max(len(connector.pins) // connector.rows, 1)
    if connector.numbering == "rows":
        return tuple((n % per_row, n // per_row) for n in range(len(connector.pins)))
    return tuple(divmod(n, connector.rows) for n in range(len(connector.pins)))


def placements(connector: Connector) -> Iterator[Placement]:
    """Yield every wrong way to put a plug on these pins that joins others than before."""
    at = cells(connector)
    pins = {cell: number for number, cell in enumerate(at, 1)}
    seen = {tuple(range(1, len(at) + 1)), (0,) * len(at)}
    for kind, how, move in _moves(connector):
        meets = tuple(pins.get(move(*cell), 0) for cell in at)
        if meets not in seen:
            seen.add(meets)
            yield Placement(kind, how, meets)


def _moves(connector: Connector) -> Iterator[tuple[MatingKind, str, Callable[[int, int], Cell]]]:
    rows, count = connector.rows, len(connector.pins)
    right, top = count // rows - 1, rows - 1
    yield "turned", "turned round", lambda column, row: (right - column, top - row)
    yield "mirrored", "mirrored, rows exchanged", lambda column, row: (column, top - row)
    yield "mirrored", "mirrored, ends exchanged", lambda column, row: (right - column, row)
    along = "pin" if rows == 1 else "column"
    for pin, across, up in ((1, -1, 0), (count, 1, 0)):
        yield "shifted", f"shifted by one {along} towards pin {pin}", _by(across, up)
    for end, up in (("first", -1), ("last", 1)):
        yield "shifted", f"shifted by one row beyond the {end}", _by(0, up)


def _by(across: int, up: int) -> Callable[[int, int], Cell]:
    return lambda column, row: (column + across, row + up)


def prevented_by(connector: Connector, placement: Placement) -> tuple[str, ...]:
    """Return what keeps a plug from going on like this, empty where nothing does.

    A key stands in a housing, which is a wall too unless the board says that there is none.
    """
    shroud = connector.shroud if connector.shroud is not None else connector.keyed
    found = ["shroud"] if placement.kind == "shifted" and shroud else []
    if placement.kind != "shifted":
        found += [name for name in ("keyed", "latch") if getattr(connector, name)]
    on_pins = (placement.meets[hole - 1] for hole in connector.plugged)
    if any(pin and pin not in connector.plugged for pin in on_pins):
        found.append("plugged")
    return tuple(found)


def matings(assembly: Assembly) -> Iterator[Mating]:
    """Yield every wrong mating of every plug, those that something prevents among them."""
    used = {key: None for cable in assembly.cables for key in (cable.from_, cable.to)}
    used |= {fit.connector: None for fit in assembly.fits if fit.connector}
    for key in used:
        connector = _connector(assembly, key)
        for placement in placements(connector):
            forbids = prevented_by(connector, placement)
            yield Mating(key, placement.kind, placement.how, placement.meets, prevented_by=forbids)
    for board, it in assembly.boards.items():
        families: dict[object, list[str]] = {}
        for name, connector in it.connectors.items():
            if connector.pitch_mm is not None:
                families.setdefault(plug_of(connector), []).append(name)
        for one, two in (pair for names in families.values() for pair in combinations(names, 2)):
            keys = [key for key in ((board, one), (board, two)) if key in used]
            if keys:
                other = (board, two if keys[0][1] == one else one)
                how = f"exchanged with {other[1]}" if len(keys) > 1 else f"put on {other[1]}"
                yield Mating(keys[0], "swapped", how, other=other)


def plug_of(it: Connector) -> tuple[object, ...]:
    """Return what two connectors have in common of which each takes the other's plug."""
    return it.pitch_mm, len(it.pins), it.rows, bool(it.keyed), it.coding, it.plugged


def count_wires(assembly: Assembly) -> int:
    """Return how many conductors all cables and parts have: what a trial or a solution costs."""
    of_cables = sum(len(cable.pairs) for cable in assembly.cables)
    return of_cables + sum(len(fit.pins) for fit in assembly.fits)


def mated(assembly: Assembly, mating: Mating) -> Assembly:
    """Return the assembly with one plug put on wrong."""
    return evolve(
        assembly,
        cables=tuple(_cable(cable, mating) for cable in assembly.cables),
        fits=tuple(_fit(fit, mating) for fit in assembly.fits),
    )


def _cable(cable: Cable, mating: Mating) -> Cable:
    if mating.other:
        return evolve(cable, from_=_moved(cable.from_, mating), to=_moved(cable.to, mating))
    pairs = cable.pairs
    for side, end in enumerate((cable.from_, cable.to)):
        if end == mating.connector:
            landed = ((pair, mating.meets[pair[side] - 1]) for pair in pairs)
            pairs = tuple((it, b) if side == 0 else (a, it) for (a, b), it in landed if it)
    return evolve(cable, pairs=pairs)


def _fit(fit: Fit, mating: Mating) -> Fit:
    if mating.other and fit.connector:
        return evolve(fit, connector=_moved(fit.connector, mating))
    if fit.connector != mating.connector:
        return fit
    return evolve(fit, pins=tuple(mating.meets[pin - 1] for pin in fit.pins))


def _moved(key: ConnectorKey, mating: Mating) -> ConnectorKey:
    if key == mating.connector:
        return mating.other or key
    return mating.connector if key == mating.other else key


def _connector(assembly: Assembly, key: ConnectorKey) -> Connector:
    return assembly.boards[key[0]].connectors[key[1]]
