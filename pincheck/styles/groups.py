"""What the things that users number or name are for: fan 2 is the part fan."""

import re
from collections.abc import Iterable, Iterator, Mapping

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.role import FUNCTIONS, split

_SEATS = 100
"""A role's number has two digits."""

Group = tuple[str, int]
"""A role's group and number."""

Reached = Mapping[tuple[str, str], tuple[str, ...]]
"""The roles of the parts that the pin of a thing leads to, by kind and id."""

_UNORDERED = frozenset(("aux", "controller", "chamber", "probe"))
"""Groups that users and wiring number as they like: which is the second, the pin tells."""


@frozen(slots=False)
class Things:
    """What the settings say of the things in one machine.

    `ids` holds the ids of every kind of thing in the order of the files; `links` the values
    that tie them together, by link and id. `names` are the vocabulary's words for groups.
    """

    ids: Mapping[str, tuple[str, ...]]
    links: Mapping[str, Mapping[str, str]]
    names: Mapping[str, tuple[str, ...]] = field(factory=dict)

    def of(self, kind: str) -> tuple[str, ...]:
        """Return every id of one kind."""
        return self.ids.get(kind, ())

    def link(self, link: str, thing: str) -> str:
        """Return one link's value, empty where there is none."""
        return self.links.get(link, {}).get(thing, "")

    def linked(self, link: str) -> Iterator[tuple[str, str]]:
        """Yield every (id, value) of one link."""
        yield from self.links.get(link, {}).items()

    def named_group(self, name: str) -> str:
        """Return the group that a user's own name speaks of, empty where it tells nothing."""
        text = re.sub(r"[\W_]+", "", name.lower())
        return next(
            (g for g, words in self.names.items() if any(word in text for word in words)), ""
        )


@frozen(slots=False)
class Groups:
    """The group of every thing, by kind and id, and the numbers of the hot ends."""

    table: Mapping[tuple[str, str], Group]
    hotends: tuple[int, ...] = (0,)
    followed: str = "heater"
    """The kind of thing by which fans and heaters name what they follow."""

    def of(self, kind: str, thing: str) -> Group | None:
        """Return the group of one thing, None where it is not known."""
        return self.table.get((kind, thing))

    def ids(self, kind: str, group: Group) -> tuple[str, ...]:
        """Return every thing of a kind that belongs to a group."""
        return tuple(t for (k, t), g in self.table.items() if k == kind and g == group)


class Seats:
    """Hands out roles, each once: a thing too many becomes an `aux` of its function."""

    def __init__(self, reached: Reached, fitted: frozenset[str]) -> None:
        self._reached = reached
        self._kinds = {(of, its) for of, _, its in map(split, fitted)}
        self._taken: set[tuple[str, int, str]] = set()

    def reserve(self, group: Group, function: str) -> None:
        """Keep a seat from being given to another thing."""
        self._taken.add((*group, function))

    def take_fitted(self, kind: str, thing: str, group: str, function: str) -> Group | None:
        """Return the free seat of the part that a thing's pin leads to, where numbers say nothing.

        A thing of the group `aux` is whatever the wiring calls it; a part of that group is what
        the user calls it, unless the wiring has that elsewhere.
        """
        elsewhere = (group, function) in self._kinds
        for found in self._reached.get((kind, thing), ()):
            name, at, of = split(found)
            alike = name == group or group == "aux" or (name == "aux" and not elsewhere)
            free = of == function and (name, at, of) not in self._taken
            if free and alike and {name, group} <= _UNORDERED:
                self._taken.add((name, at, of))
                return name, at
        return None

    def take(self, group: str, function: str, number: int | None = None) -> Group | None:
        """Return a free seat; without a number the next free one. None where all are taken."""
        for name in dict.fromkeys((group, "aux")):
            wanted = number if name == group else None
            if function not in FUNCTIONS.get(name, ()):
                continue
            for at in range(_SEATS) if wanted is None else (wanted,):
                if at < _SEATS and (name, at, function) not in self._taken:
                    self._taken.add((name, at, function))
                    return name, at
        return None


def numbers(text: str) -> tuple[str, ...]:
    """Return the numbers of `1:2` or `1`, as text without leading zeros; no negative ones."""
    found = (part.strip() for part in re.split(r"[:,]", text))
    return tuple(str(int(part)) for part in found if re.fullmatch(r"[0-9]{1,3}", part))


def seated(
    rows: Iterable[tuple[str, str, str, int | None]], function: str, seats: Seats
) -> Iterator[tuple[tuple[str, str], Group]]:
    """Yield the seat of every (kind, id, group, number) while there are seats."""
    rest = []
    for kind, thing, group, number in rows:
        loose = number is None
        if loose and (fitted := seats.take_fitted(kind, thing, group or "aux", function)):
            yield (kind, thing), fitted
        else:
            rest.append((kind, thing, group, number))
    for kind, thing, group, number in rest:
        seat = seats.take(group or "aux", function, number)
        if seat is None:
            return
        yield (kind, thing), seat
