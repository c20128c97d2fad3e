"""Two assemblies role by role: what stayed, moved, came, went or changed its rating."""

from collections.abc import Iterator

from pincheck.analysis.pairings import home
from pincheck.check import trace_of
from pincheck.compare.difference import Difference, RevisionState
from pincheck.compare.figures import figure_differences
from pincheck.compare.plugs import plug_differences
from pincheck.maker.place import place_words
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace, Wired
from pincheck.model.role import order
from pincheck.model.wiring import Assembly


@frozen
class RoleChange:
    """One role in both revisions.

    `before` and `after` are its chip pin in words ("PB8", "gpio4 of curlew"), a dash where it has
    none, empty where nothing is fitted. `plug` says why the part's plug does not go over.
    """

    role: str
    state: RevisionState
    before: str
    after: str
    differences: tuple[Difference, ...] = ()
    plug: tuple[Difference, ...] = ()

    @property
    def part_stays(self) -> bool:
        """Whether the fitted part goes over without a change to it or its plug."""
        own = {"part", "supply"}
        changed = any(difference.name in own for difference in self.differences)
        return self.state not in ("gained", "lost") and not self.plug and not changed


@frozen
class Revision:
    """Two assemblies side by side."""

    before: Assembly
    after: Assembly
    roles: tuple[RoleChange, ...]


def compare(before: Assembly, after: Assembly) -> Revision:
    """Return what changed for every role from one assembly to the other."""
    sides = [(assembly, trace_of(assembly)) for assembly in (before, after)]
    return Revision(before, after, tuple(_changes(*sides)))


def _changes(before: tuple[Assembly, Trace], after: tuple[Assembly, Trace]) -> Iterator[RoleChange]:
    for role in sorted(before[1].roles() | after[1].roles(), key=order):
        old, new = before[1].find(role), after[1].find(role)
        was, is_ = pin_words(before[0], old), pin_words(after[0], new)
        if old is None or new is None:
            yield RoleChange(role, "gained" if new else "lost", was, is_)
            continue
        differences = (*figure_differences(old, new), *_limits(role, before[0], after[0]))
        state: RevisionState = (
            "moved" if was != is_ else "rating changed" if differences else "same"
        )
        plug = tuple(plug_differences((before[0], old), (after[0], new)))
        yield RoleChange(role, state, was, is_, differences, plug)


def _limits(role: str, before: Assembly, after: Assembly) -> Iterator[Difference]:
    group, _, function = role.partition(".")
    if function == "heater":
        was, is_ = (
            ", ".join(f"{limit.max_c:g} C" for limit in side.limits if limit.group == group)
            for side in (before, after)
        )
        if was != is_:
            yield Difference("limit", was, is_)


def pin_words(assembly: Assembly, wired: Wired | None) -> str:
    """Return a role's chip pin as a configuration knows it, whatever the board's key is."""
    if wired is None:
        return ""
    place = home(wired)
    return place_words(assembly, place) if place else "-"
