"""What can be wrong in a vocabulary file."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from pincheck import styles
from pincheck.claims.entry import ROLE_FORM, THING_FORM
from pincheck.claims.templates import Conditions, entry_faults, loops, need_faults
from pincheck.model import limits
from pincheck.model.attribute import ATTRIBUTES, ValueKind
from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.problem import Problem
from pincheck.model.role import FUNCTIONS
from pincheck.model.setting import StyleName
from pincheck.toml.document import Document
from pincheck.toml.scan import KeyPath

READINGS: Mapping[str, frozenset[ValueKind]] = {
    "number": frozenset(("number",)),
    "byte": frozenset(("number",)),
    "duty": frozenset(("number",)),
    "doublings": frozenset(("number",)),
    "last number": frozenset(("number",)),
    "number of thing": frozenset(("number",)),
    "flag": frozenset(("flag",)),
    "word": frozenset(("word", "flag")),
    "text": frozenset(("word",)),
    "element": frozenset(("word",)),
    "sensor": frozenset(("sensor",)),
    "described": frozenset(("sensor",)),
    "watched": frozenset(("role",)),
    "regulating": frozenset(("role",)),
    "of tool": frozenset(("role",)),
    "constant": frozenset(("flag", "word", "number", "pin", "role")),
    "pin": frozenset(("pin",)),
    "input pin": frozenset(("pin",)),
    "pulse pin": frozenset(("pin",)),
    "output pin": frozenset(("pin",)),
    "analog pin": frozenset(("pin",)),
}
"""How a value can be read, and what kinds of attribute that gives.

`byte` is 0 to 255, `duty` either that or 0 to 1, `doublings` doubles `scale` with every step,
`flag` also takes presence without a value in the define style, `watched` names heaters or
sensors, `regulating` the sensor of a heater, `of tool` a tool's heater or fan, `number of thing` is
the number in the key itself, `element` one text of a list, `constant` claims what the entry says
whenever the key is set, `pulse pin` is an input of which the level says nothing.
"""

_FIELDS: Mapping[str, type | tuple[type, ...]] = {
    "key": str,
    "section": str,
    "role": str,
    "group": str,
    "attribute": str,
    "figure": str,
    "link": str,
    "as": str,
    "scale": (int, float),
    "per": bool,
    "invert": bool,
    "words": dict,
    "constant": str,
    "needs": list,
    "default": str,
    "beside": list,
    "several": bool,
    "nth": int,
    "spare": bool,
    "least": bool,
    "most": bool,
    "basis": str,
}
_TOP: Mapping[str, type] = {
    "style": str,
    "relevant": list,
    "ignored": list,
    "apart": list,
    "evidence": list,
    "required": list,
    "names": dict,
    "conditions": dict,
    "doubts": list,
    "entries": list,
}
_WORDS = {
    str: "text",
    bool: "true or false",
    int: "a whole number",
    list: "a list",
    dict: "a table",
}


@frozen
class _At:
    """One table of a document, and how its mistakes are told."""

    document: Document
    path: KeyPath

    def wrong(self, name: str, message: str, expected: str = "", near: str = "") -> Problem:
        return self.document.problem((*self.path, name), message, expected=expected, nearest=near)

    def fields(
        self, row: Mapping[str, Any], known: Mapping[str, type | tuple[type, ...]]
    ) -> Iterator[Problem]:
        for name, value in row.items():
            if name not in known:
                yield self.document.problem(
                    (*self.path, name),
                    f"unknown key {name!r}",
                    expected=", ".join(known),
                    nearest=nearest(name, known),
                    on_key=True,
                )
                continue
            kind = known[name]
            wrong = not isinstance(value, kind) or (kind is not bool and isinstance(value, bool))
            listed = value if isinstance(value, list) and name not in ("entries", "doubts") else ()
            if wrong or not all(isinstance(item, str) for item in listed):
                words = "a number" if isinstance(kind, tuple) else _WORDS[kind]
                words += " of texts" if kind is list else ""
                yield self.wrong(name, f"{name!r} has the wrong kind of value", words)


def mistakes(
    document: Document, style: StyleName, known: Conditions | None = None
) -> Iterator[Problem]:
    """Yield every mistake of one vocabulary file; `known` are the conditions that others name."""
    values = document.values
    top = _At(document, ())
    yield from document.problems
    yield from top.fields(values, _TOP)
    if values.get("style", style) != style:
        message = f"this vocabulary is of the {values['style']!r} style"
        yield top.wrong("style", message, f"{style!r}")
    names = values.get("names", {})
    for group in names if isinstance(names, dict) else ():
        if group not in FUNCTIONS:
            near = nearest(group, FUNCTIONS)
            at = _At(document, ("names",))
            yield at.wrong(group, f"unknown group {group!r}", ", ".join(FUNCTIONS), near)
        elif not isinstance(names[group], list):
            yield _At(document, ("names",)).wrong(group, f"{group!r} has no list of words")
        elif not all(isinstance(word, str) for word in names[group]):
            yield _At(document, ("names",)).wrong(group, f"a word of {group!r} is no text")
    conditions: dict[str, Iterable[str]] = dict(known or {})
    yield from _condition_problems(_At(document, ("conditions",)), values, conditions)
    for name, check in (("doubts", _doubt_problems), ("entries", _entry_problems)):
        rows = values.get(name, ())
        for number, row in enumerate(rows if isinstance(rows, list) else ()):
            at = _At(document, (name, number))
            if isinstance(row, dict):
                yield from check(at, row, style, conditions)
            else:
                yield document.problem(at.path, f"an item of {name!r} is a table")


def _condition_problems(
    at: _At, values: Mapping[str, Any], conditions: dict[str, Iterable[str]]
) -> Iterator[Problem]:
    """Yield what is wrong with the conditions of a file, and add the right ones to the others."""
    own = values.get("conditions", {})
    for name, needs in own.items() if isinstance(own, dict) else ():
        if isinstance(needs, list) and all(isinstance(need, str) for need in needs):
            conditions[name] = needs
        else:
            yield at.wrong(name, f"{name!r} is no list of conditions", '["KEY", "KEY==text"]')
    for name in conditions.keys() & own if isinstance(own, dict) else ():
        for need in conditions[name]:
            yield from (at.wrong(name, fault) for fault in need_faults(need, conditions))
    for name, fault in loops(conditions):
        yield at.wrong(name, fault)


def _doubt_problems(
    at: _At, row: Mapping[str, Any], style: StyleName, conditions: Conditions
) -> Iterator[Problem]:
    del style, conditions
    yield from at.fields(row, {"attribute": str, "reason": str, "unless": str})
    yield from _attribute_problem(at, row)
    if not row.get("reason"):
        yield at.wrong("reason", "a doubt needs a reason")


def _attribute_problem(at: _At, row: Mapping[str, Any]) -> Iterator[Problem]:
    name = row.get("attribute", "")
    if isinstance(name, str) and name and name not in ATTRIBUTES:
        yield at.wrong("attribute", f"unknown attribute {name!r}", near=nearest(name, ATTRIBUTES))


def _entry_problems(
    at: _At, row: Mapping[str, Any], style: StyleName, conditions: Conditions
) -> Iterator[Problem]:
    found = tuple(at.fields(row, _FIELDS))
    yield from found
    if found:
        return
    yield from _attribute_problem(at, row)
    if not row.get("key"):
        yield at.wrong("key", "an entry needs a key")
    if bool(row.get("section")) != styles.of(style).sections:
        need = "needs a section for every key" if styles.of(style).sections else "has no sections"
        yield at.wrong("section", f"the {style} style {need}")
    if sum(bool(row.get(name)) for name in ("attribute", "figure", "link")) != 1:
        yield at.wrong("attribute", "an entry needs one of attribute, figure and link")
    for name, message in entry_faults(row, conditions):
        yield at.wrong(name, message)
    if not 1e-9 <= abs(row.get("scale", 1.0)) <= 1e9:
        yield at.wrong("scale", "no unit is that far from another", "0.001 or 1000, say")
    if not 1 <= row.get("nth", 1) <= limits.PINS:
        yield at.wrong("nth", "no list has that many pins", f"1 to {limits.PINS}")
    if not all(isinstance(word, str | bool) for word in row.get("words", {}).values()):
        yield at.wrong("words", "a word means a text, true or false")
    yield from _role_problems(at, row.get("role", ""), bool(row.get("attribute")))
    reading = row.get("as", "text")
    if reading not in READINGS:
        near = nearest(reading, READINGS)
        yield at.wrong("as", f"unknown reading {reading!r}", ", ".join(READINGS), near)
    elif (attribute := ATTRIBUTES.get(row.get("attribute", ""))) and attribute.kind not in READINGS[
        reading
    ]:
        fitting = ", ".join(name for name, kinds in READINGS.items() if attribute.kind in kinds)
        message = f"{attribute.name} cannot be read as {reading!r}"
        yield at.wrong("as" if "as" in row else "attribute", message, fitting)
    if reading == "word" and not row.get("words"):
        yield at.wrong("words", "an entry read as a word needs words")
    if reading == "constant" and not row.get("constant"):
        yield at.wrong("constant", "an entry read as a constant needs one")


def _role_problems(at: _At, role: str, needed: bool) -> Iterator[Problem]:
    if not role:
        if needed:
            yield at.wrong("role", "an entry with an attribute needs a role")
        return
    group, dot, function = role.rpartition(".")
    thing = role.startswith("<") and role.rstrip(">") != role if not dot else group.endswith(">")
    if role.startswith("<"):
        if not thing or (needed and not dot) or not THING_FORM.fullmatch(role):
            yield at.wrong("role", f"{role!r} is no role", "<fan {n}>.fan, say")
        elif dot and not any(function in known for known in FUNCTIONS.values()):
            every = {name for known in FUNCTIONS.values() for name in known}
            near = nearest(function, sorted(every))
            yield at.wrong("role", f"no group has the function {function!r}", near=near)
        return
    stem = group.partition("{")[0]
    plain = stem.rstrip("0123456789")
    axes = role.startswith(("{axis}", "{xy}"))
    if not axes and plain not in FUNCTIONS:
        near = nearest(plain, FUNCTIONS)
        yield at.wrong("role", f"unknown group {plain!r}", ", ".join(FUNCTIONS), near)
    elif function not in FUNCTIONS["x" if axes else plain]:
        functions = FUNCTIONS["x" if axes else plain]
        near = nearest(function, functions)
        yield at.wrong("role", f"{plain!r} has no {function!r}", ", ".join(functions), near)
    elif not ROLE_FORM.fullmatch(role):
        yield at.wrong("role", f"{role!r} is no role", "hotend{n}.heater, say")
