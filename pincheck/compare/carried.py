"""What goes over from one revision to the next as it is: each part with its plug, each cable."""

from collections.abc import Iterator
from typing import Literal

from attrs import evolve, field

from pincheck.analysis import roles
from pincheck.analysis.mating.harm import DANGEROUS, KINDS, Harm
from pincheck.analysis.mating.solved import Solved
from pincheck.analysis.mating.survey import harm_of
from pincheck.check import trace_of
from pincheck.compare.difference import differing
from pincheck.compare.plugs import connector_differences
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly, Cable, Connector, Fit
from pincheck.wiring.plugs import ConnectorKey, Mating, plug_of

CarriedState = Literal[
    "destroys", "fails", "not known", "another plug", "another part", "goes over"
]
"""What an old part or cable does on the new revision, worst first; with `another plug` it does not
fit at all."""

_HOW = "with its plug of the revision before"


@frozen
class Carried:
    """One part or cable of the old revision on the new one, as it is.

    `deliberate` is the maker's reason why it may be no drop-in, empty without one.
    """

    kind: Literal["part", "cable"]
    name: str
    role: str
    state: CarriedState
    reason: str = ""
    deliberate: str = ""
    harms: tuple[Harm, ...] = field(default=())

    @property
    def drop_in(self) -> bool:
        """Whether it goes over, or is meant not to."""
        return self.state == "goes over" or bool(self.deliberate)

    @property
    def rank(self) -> tuple[int, int]:
        """A sort key that puts the worst first."""
        states: tuple[CarriedState, ...] = CarriedState.__args__  # type: ignore[attr-defined]
        worst = min((list(KINDS).index(harm.kind) for harm in self.harms), default=len(KINDS))
        return states.index(self.state), worst


def carried(before: Assembly, after: Assembly) -> tuple[Carried, ...]:
    """Return what becomes of each old part that is fitted again, and of each old cable."""
    right = Solved(after)
    found = (*_parts(before, after, right), *_cables(before, after, right))
    return tuple(sorted(found, key=lambda it: it.rank))


def _parts(before: Assembly, after: Assembly, right: Solved) -> Iterator[Carried]:
    now = {fit.role: fit for fit in after.fits if fit.connector}
    faults = {role: fault for fault in trace_of(after).faults for role in fault.roles}
    for old in before.fits:
        new = now.get(old.role)
        if not old.connector or not new or not new.connector:
            continue
        name = roles.name(old.role)
        plugs = _connector(before, old.connector), _connector(after, new.connector)
        if unlike := _unlike(*plugs):
            yield Carried("part", name, old.role, "another plug", unlike)
        elif old.role in faults:
            yield Carried("part", name, old.role, "fails", faults[old.role].message)
        elif old.pins != new.pins or old.part != new.part:
            on = evolve(new, part=old.part, pins=old.pins)
            fits = tuple(on if fit is new else fit for fit in after.fits)
            what = f"the old plug of the {name} fits {'.'.join(new.connector)}"
            yield _tried("part", old, evolve(after, fits=fits), right, new.connector, what)
        else:
            yield Carried("part", name, old.role, "goes over")


def _cables(before: Assembly, after: Assembly, right: Solved) -> Iterator[Carried]:
    now = {(cable.from_, cable.to): cable for cable in after.cables}
    for old in before.cables:
        new = now.get((old.from_, old.to))
        if new is None:
            continue
        name = _name(old)
        ends = ((old.from_, new.from_), (old.to, new.to))
        plugs = [(_connector(before, one), _connector(after, other)) for one, other in ends]
        if unlike := next(filter(None, (_unlike(*pair) for pair in plugs)), ""):
            yield Carried("cable", name, "", "another plug", unlike)
        elif old.pairs != new.pairs:
            cables = tuple(evolve(it, pairs=old.pairs) if it is new else it for it in after.cables)
            changed, what = evolve(after, cables=cables), f"the old cable {name} fits"
            yield _tried("cable", old, changed, right, new.to, what)
        else:
            yield Carried("cable", name, "", "goes over")


def _name(cable: Cable) -> str:
    return f"{'.'.join(cable.from_)} to {'.'.join(cable.to)}"


def _tried(
    kind: Literal["part", "cable"],
    old: Fit | Cable,
    changed: Assembly,
    right: Solved,
    at: ConnectorKey,
    what: str,
) -> Carried:
    """Return what an old plug does on the new board, from the solved circuit."""
    found = harm_of(right, Solved(changed, right), Mating(at, "turned", _HOW))
    name = _name(old) if isinstance(old, Cable) else roles.name(old.role)
    role = "" if isinstance(old, Cable) else old.role
    if found.unsolved:
        return Carried(kind, name, role, "not known", found.unsolved)
    if not found.harms:
        same = isinstance(old, Cable) or any(old.part == fit.part for fit in right.assembly.fits)
        if same:
            return Carried(kind, name, role, "goes over")
        return Carried(kind, name, role, "another part", "another part is meant to be here")
    state: CarriedState = "destroys" if found.harms[0].kind in DANGEROUS else "fails"
    return Carried(kind, name, role, state, f"{what}: {found.harms[0].text}", harms=found.harms)


def _unlike(old: Connector, new: Connector) -> str:
    """Return what keeps a plug from going on, empty where it does."""
    if plug_of(old) == plug_of(new):
        return ""
    told = "; ".join(map(str, connector_differences(old, new)))
    coding = differing((("coding", str(old.coding or ""), str(new.coding or "")),))
    return told or "; ".join(map(str, coding)) or "other positions are cut off"


def _connector(assembly: Assembly, key: ConnectorKey) -> Connector:
    return assembly.boards[key[0]].connectors[key[1]]
