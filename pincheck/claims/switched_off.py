"""Fitted parts without a pin because of one line: a switch that says no, a pin commented out."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from pincheck.claims.entry import PINS, Entry
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.pattern import filled
from pincheck.claims.shown import is_set, text_of
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.model.setting import Activity, Setting


def switched_off(machine: Interpretation, claimed: Iterable[Claim]) -> Iterator[Claim]:
    """Yield "no pin" for each fitted part that one line surely keeps from being used.

    The claim has no setting; `near` is the line and `origin` says what it does. Motors stay out:
    what switches a hot end off leaves its extruder running.
    """
    for wired in _without_pin(machine, claimed):
        if split(wired.role)[2] != "motor" and (line := next(_switches(machine, wired), None)):
            yield _nothing(wired, line)


def commented_out(machine: Interpretation, claimed: Iterable[Claim]) -> Iterator[Claim]:
    """Yield "no pin" in the same way for each fitted part whose very pin is commented out."""
    open_ = tuple(_without_pin(machine, claimed))
    idle = _idle_pins(machine) if open_ else {}
    for wired in open_:
        names = (wired.role, split(wired.role)[2])
        lines = (idle.get((name, wired.place)) for name in names if wired.place)
        if line := next(filter(None, lines), None):
            yield _nothing(wired, line)


def _without_pin(machine: Interpretation, claimed: Iterable[Claim]) -> Iterator[Wired]:
    taken = {claim.role for claim in claimed if claim.attribute == "pin"}
    fitted = machine.trace.wired if machine.trace else ()
    return (wired for wired in fitted if wired.role not in taken)


def _nothing(wired: Wired, line: Setting) -> Claim:
    return Claim(wired.role, "pin", PinValue("", absent=True), origin=_words(line), near=line)


def _idle_pins(machine: Interpretation) -> Mapping[tuple[str, Place], Setting]:
    """Return the commented-out lines that would claim a pin, by role or function, and pin."""
    found: dict[tuple[str, Place], Setting] = {}
    for setting in machine.reading.settings:
        idle = setting.activity is Activity.COMMENTED and not setting.condition
        named = "pin" in setting.key.lower() or not machine.style.key_a_line
        if not idle or not named:
            continue
        for match in machine.matches_of(setting):
            if match.entry.attribute == "pin" and match.entry.read_as in PINS:
                text = machine.style.pieces(text_of(setting))[0].text
                analog = match.entry.read_as == "analog pin"
                place = machine.pins.read(text, analog=analog).place
                if place:
                    known = [str(role) for role, _ in machine.roles(match.entry, match.groups)]
                    # a number that nothing else sets up is of no role yet: then the pin tells
                    known = known or [match.entry.function]
                    found.update({(name, place): setting for name in known})
    return found


def _switches(machine: Interpretation, wired: Wired) -> Iterator[Setting]:
    """Yield the lines each of which alone keeps a key for a part's pin from counting."""
    if machine.style.sections:
        yield from _unwatched(machine, wired)
        return
    number = {"n": str(split(wired.role)[1])}
    for entry in machine.vocabulary.entries:
        if entry.attribute == "pin" and entry.read_as in PINS:
            for role, groups in machine.roles(entry, number):
                if role == wired.role and (line := _switch(machine, entry, groups, wired)):
                    yield line


def _unwatched(machine: Interpretation, wired: Wired) -> Iterator[Setting]:
    """Yield the lines that name a part's pin in vain: a key beside it does not say yes."""
    for match in machine.matches:
        if match.entry.attribute != "pin" or match.setting.activity is not Activity.ACTIVE:
            continue
        section = match.setting.section
        fails = [
            n for n in match.entry.needs if not machine.shown.holds(n, section, match.groups)[0]
        ]
        roles = {str(role) for role, _ in machine.roles(match.entry, match.groups)}
        if len(fails) == 1 and wired.role in roles:
            several = machine.vocabulary.conditions.get(fails[0], fails)
            keys = [key for key in several if key.replace("_", "").isalnum()]
            found = (machine.shown.active(section, key) for key in keys)
            if keys:
                yield next(filter(None, found), match.setting)


def _switch(
    machine: Interpretation, entry: Entry, groups: Mapping[str, str], wired: Wired
) -> Setting | None:
    shown = machine.shown
    told = {need: shown.holds(need, "", groups) for need in entry.needs}
    if any(doubt for _, doubt in told.values()):
        return None
    failing = [need for need, (holds, _) in told.items() if not holds]
    if len(failing) != 1 or failing[0].startswith("!"):
        return None
    several = machine.vocabulary.conditions.get(failing[0])
    for key in _of_several(machine, several, wired) if several else (failing[0],):
        if line := _line(machine, filled(key, groups)):
            return line
    return None


def _of_several(machine: Interpretation, keys: Sequence[str], wired: Wired) -> Iterator[str]:
    """Yield the keys of which one must be set: those for what is fitted, else those that say no."""
    yield from _that_suit(machine, keys, wired)
    yield from (key for key in keys if key.isidentifier() and machine.shown.active("", key))


def _that_suit(machine: Interpretation, keys: Iterable[str], wired: Wired) -> Iterator[str]:
    """Yield those of several keys that stand for the kind of probe that is fitted."""
    for key in keys:
        for entry, _ in machine.vocabulary.match("", key):
            if entry.role == wired.role and entry.constant == wired.part.probe_kind:
                yield key


def _line(machine: Interpretation, key: str) -> Setting | None:
    if "=" in key:
        return None
    found = machine.shown.of("", key)
    if active := machine.shown.active("", key):
        return None if is_set(key, text_of(active)) else active
    idle = (s for s in reversed(found) if s.activity is Activity.COMMENTED and not s.condition)
    return next(idle, None)


def _words(line: Setting) -> str:
    at = f"{line.source.name}:{line.span.line}"
    if line.activity is Activity.COMMENTED:
        return f"{line.key} is commented out at {at}"
    if is_set(line.key, text_of(line)):
        return f"{line.section} at {at} is not switched on"
    return f"{line.name} is {text_of(line)} at {at}"
