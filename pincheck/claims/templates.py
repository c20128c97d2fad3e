"""What can be wrong with the places of an entry and with the conditions it names."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from pincheck.claims.entry import Entry
from pincheck.claims.pattern import PLACES, WILD, base, is_balanced, places
from pincheck.claims.shown import NEED_FORM
from pincheck.model.nearest import nearest

MOST_WILD = 2
"""Places of any text in one pattern: each more multiplies the ways in which a text can fit."""

MOST_STEPS = 16
"""Conditions that name conditions: the built-in ones go two deep."""

Conditions = Mapping[str, Iterable[str]]
EntryFault = tuple[str, str]
"""The field of the entry, and what is wrong."""


def entry_faults(row: Mapping[str, Any], conditions: Conditions) -> Iterator[EntryFault]:
    """Yield what is wrong with the places of one entry's texts, all of which are texts."""
    own: list[str] = []
    for name in ("section", "key"):
        found = places(row.get(name, ""))
        if sum(place in WILD for place in found) > MOST_WILD:
            yield name, f"more than {MOST_WILD} of {{any}}, {{any?}} and {{name}} in one pattern"
        own += [base(place) for place in found if place not in ("any", "any?")]
    for place in sorted({place for place in own if own.count(place) > 1}):
        yield "key", f"the place {{{place}}} is there twice"
    role = row.get("role", "")
    may = {*own, *(("axis",) if "tower" in own else ())}
    yield from _unfilled("role", role, may if role.startswith("<") else may | {"each", "i"})
    more = {place for place in ("each", "i") if f"{{{place}}}" in role}
    yield from _unfilled("constant", row.get("constant", ""), may | more)
    for need in row.get("needs", ()):
        yield from (("needs", fault) for fault in need_faults(need, conditions))
        for text in _spread(need, conditions):
            yield from _unfilled("needs", text, may | more)
    if row.get("beside") and "any" in places(row.get("section", "")):
        yield "beside", "nothing fills the {any} of the section where the key is missing"
    for name in ("section", "key", "role", "constant", "needs", "beside"):
        value = row.get(name, "")
        for text in value if isinstance(value, list) else (value,):
            if not is_balanced(text):
                yield name, f"a brace of {text!r} belongs to no place"
            for place in places(text):
                if place not in PLACES:
                    near = nearest(place, PLACES)
                    hint = f"; did you mean {{{near}}}?" if near else ""
                    yield name, f"unknown place {{{place}}}{hint}"


def _unfilled(name: str, text: str, may: Iterable[str]) -> Iterator[EntryFault]:
    for place in dict.fromkeys(map(base, places(text))):
        if place not in may and place in map(base, PLACES):
            yield name, f"nothing fills {{{place}}}: neither section nor key has that place"


def need_faults(need: str, conditions: Conditions) -> Iterator[str]:
    """Yield what is wrong with the form of a condition."""
    for part in need.removeprefix("!").split(" and "):
        bare = part.removeprefix("!")
        if bare not in conditions and not NEED_FORM.fullmatch(bare):
            yield f"{need!r} is no condition"


def loops(conditions: Conditions) -> Iterator[tuple[str, str]]:
    """Yield the names of conditions that refer to themselves, or through too many others."""
    depth: dict[str, int] = {}

    def follow(name: str, way: tuple[str, ...]) -> int:
        if name in way or len(way) > MOST_STEPS:
            raise RecursionError
        if name not in depth:
            named = (part for need in conditions[name] for part in _parts(need))
            steps = [follow(part, (*way, name)) for part in named if part in conditions]
            depth[name] = 1 + max(steps, default=0)
        if len(way) + depth[name] > MOST_STEPS:
            raise RecursionError
        return depth[name]

    for name in conditions:
        try:
            follow(name, ())
        except RecursionError:
            yield name, f"{name!r} refers to itself, or through more than {MOST_STEPS} others"


def _parts(need: str) -> Iterator[str]:
    for part in (need, *need.removeprefix("!").split(" and ")):
        yield from (part, part.removeprefix("!"))


def _spread(need: str, conditions: Conditions) -> Iterator[str]:
    """Yield every text that deciding on a condition fills in."""
    seen: dict[str, None] = {}
    waiting = [need]
    while waiting:
        for part in _parts(waiting.pop()):
            if part in conditions and part not in seen:
                waiting += conditions[part]
            seen[part] = None
    yield from (text for text in seen if text not in conditions)


def needed(entry: Entry, conditions: Conditions, *, sections: bool) -> frozenset[str]:
    """Return the places that must be filled before an entry's texts can be.

    Those of any text and of every element are filled only by a key that stands there.
    """
    texts = [entry.section, entry.key, entry.constant]
    texts += (text for need in entry.needs for text in _spread(need, conditions))
    texts += () if sections else entry.beside
    found = {base(place) for text in texts for place in places(text)} - {"any"}
    if "{i}" in entry.key + entry.section:
        found.discard("i")
    regulating = entry.read_as == "regulating"
    if regulating or (entry.read_as == "number of thing" and not entry.role.startswith("<")):
        found.add("n")
    return frozenset(found)
