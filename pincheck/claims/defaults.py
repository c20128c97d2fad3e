"""What the firmware takes where the files say nothing."""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches

from attrs import evolve

from pincheck.claims.convert import read
from pincheck.claims.entry import PINS, Entry
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.pattern import filled, places
from pincheck.claims.shown import all_hold
from pincheck.model import limits
from pincheck.model.claim import Claim, Doubt
from pincheck.model.nearest import nearest
from pincheck.model.problem import refusal
from pincheck.model.reading import NotSent
from pincheck.model.role import split
from pincheck.model.setting import Activity, Setting

Spot = tuple[str, str]

_OPEN_PLACES = frozenset(("any", "any?", "i"))
"""Places that only a key which stands there can fill."""


def defaults(machine: Interpretation, claimed: Iterable[Claim]) -> Iterator[Claim]:
    """Yield a claim without a setting for every role and attribute that has no certain one."""
    taken: set[Spot] = {(c.role, c.attribute) for c in claimed if c.active}
    maybe = {(c.role, c.attribute): c for c in claimed if not c.active}
    could = (f"{n.name} was not {n.verb} and could set it" for n in machine.not_sent)
    not_sent = next(could, "")
    looked_at = 0
    for entry in machine.vocabulary.entries:
        if entry.default is None or not entry.attribute:
            continue
        for section, groups in _occasions(machine, entry):
            looked_at += 1
            if looked_at > limits.DEFAULTS:
                source = machine.reading.sources[0]
                raise refusal(source, 0, f"more than {limits.DEFAULTS:,} keys that could stand")
            for claim in _default(machine, entry, section, groups, taken):
                spot = claim.role, claim.attribute
                if spot not in taken:
                    taken.add(spot)
                    rival = maybe.get(spot)
                    doubt = claim.unknown or (rival.doubt if rival else "")
                    yield evolve(claim, unknown=doubt, caveat=not_sent)


def _occasions(machine: Interpretation, entry: Entry) -> Iterator[tuple[str, Mapping[str, str]]]:
    """Yield where the key could stand: the section, and what fills the places."""
    if not machine.style.sections:
        if "{xy}" in entry.key:
            yield from (("", {"xy": axis}) for axis in "XY")
        elif "{n}" in entry.key:
            yield from (("", {"n": str(number)}) for number in machine.groups.hotends)
        else:
            yield "", {}
        return
    for pattern in entry.beside or (entry.section,):
        for section, groups in machine.shown.matching(pattern):
            yield section, {"n": "0", **groups}


def _default(
    machine: Interpretation,
    entry: Entry,
    section: str,
    groups: Mapping[str, str],
    taken: Container[Spot],
) -> Iterator[Claim]:
    assert entry.default is not None
    for role, all_groups in machine.roles(entry, groups, entry.default):
        if (role, entry.attribute) in taken and entry.read_as not in PINS:
            continue
        own = section if not entry.beside else filled(entry.section, all_groups)
        origin = _origin(machine, entry, own, all_groups)
        holds, doubt = all_hold(machine.shown, entry.needs, own, all_groups)
        if origin and holds:
            for claim in read(machine, entry, role, all_groups, entry.default, own):
                near = _near(machine, entry, own, all_groups)
                yield evolve(claim, origin=origin, unknown=claim.unknown or doubt, near=near)


def _near(
    machine: Interpretation, entry: Entry, section: str, groups: Mapping[str, str]
) -> Setting | None:
    """Return the line beside which the key would stand: the key out of force, else its section."""
    own = machine.shown.of(section, filled(entry.key, groups))
    if own or not machine.style.sections:
        return _out_of_force(own) if own else None
    return next(
        (s for s in machine.shown.in_section(section) if s.activity is Activity.ACTIVE), None
    )


def _out_of_force(own: Sequence[Setting]) -> Setting:
    """Return the line that would count if it were switched on, else the last one."""
    ready = (s for s in reversed(own) if s.activity is Activity.COMMENTED and not s.condition)
    return next(ready, own[-1])


def _origin(machine: Interpretation, entry: Entry, section: str, groups: Mapping[str, str]) -> str:
    """Return why the default holds, in words; empty where the files do not show it."""
    if set(places(entry.key)) & _OPEN_PLACES:
        return ""
    key = filled(entry.key, groups)
    if machine.style.sections:
        gone = {id(lost.setting) for lost in machine.reading.lost}
        for line in machine.shown.of(section, key):
            if id(line) in gone:
                at = f"{line.source.name}:{line.span.line}"
                return f"{line.name} at {at} is lost: the firmware takes {entry.default}"
        return f"no {key} in {machine.style.place(section)}: the firmware takes {entry.default}"
    own = machine.shown.of("", key)
    if own:
        best = _out_of_force(own)
        how = "commented out" if best.activity is Activity.COMMENTED else "in a branch not taken"
        return f"{key} is {how} at {best.source.name}:{best.span.line}"
    beside = (filled(name, groups) for name in entry.beside)
    if any(any(machine.shown.of("", name)) for name in beside):
        return f"{key} is in no file: the firmware takes {entry.default}"
    return ""


def without_effect(machine: Interpretation) -> frozenset[Spot]:
    """Return the spots whose every key would be of no effect, whatever a file not sent sets it to.

    A pull-up for the table that the user describes is one, while another table is chosen.
    """
    open_: dict[Spot, bool] = {}
    for entry in machine.vocabulary.entries:
        if not entry.attribute or machine.style.sections:
            continue
        if set(places(entry.key)) & _OPEN_PLACES:
            continue
        for section, groups in _occasions(machine, entry):
            for role, whole in machine.roles(entry, groups, entry.default or ""):
                holds, doubt = all_hold(machine.shown, entry.needs, section, whole)
                spot = role, entry.attribute
                open_[spot] = open_.get(spot, False) or holds or bool(doubt)
    return frozenset(spot for spot, may_change in open_.items() if not may_change)


def doubts(
    machine: Interpretation, board_doubt: str, claimed: Iterable[Claim] = ()
) -> Iterator[Doubt]:
    """Yield why absence proves nothing: files and headers not sent, what the style leaves open."""
    names = machine.reading.unused
    yield from (Doubt(_missing(missing, names)) for missing in machine.not_sent)
    for missing in machine.apart:
        fits = machine.assembly.fits if machine.assembly else ()
        outputs = (fit.role for fit in fits if split(fit.role)[2] == "output")
        yield from (Doubt(_missing(missing, names), role) for role in outputs)
    for key in machine.vocabulary.evidence:
        if not any(machine.shown.of("", key)):
            yield Doubt(f"the file that holds {key} was not sent")
    if board_doubt:
        yield Doubt(board_doubt, attribute="pin")
        yield Doubt(board_doubt, attribute="homing_pin")
    yield from _pins_of_the_board(machine, claimed)
    sections = machine.shown.sections
    for attribute, reason, unless in machine.vocabulary.doubts:
        if not unless or not any(s.startswith(unless) for s in sections):
            yield Doubt(reason, attribute=attribute)


def _pins_of_the_board(machine: Interpretation, claimed: Iterable[Claim]) -> Iterator[Doubt]:
    """Yield the roles whose pin the board's own header sets, where neither it nor the wiring tells.

    A header that sets the step pins is the board's own, whole, or one that a user wrote instead.
    """
    assembly, shown = machine.assembly, machine.shown
    if (
        not machine.style.board_header
        or not assembly
        or not assembly.main
        or shown.active("", "X_STEP_PIN")
    ):
        return
    told = assembly.boards[assembly.main].stock_pins
    strange = [key for key in told if not any(machine.vocabulary.match("", key))]
    fitted = machine.trace.roles() if machine.trace else frozenset()
    open_ = {("z.endstop", "homing_pin"), *((role, "pin") for role in fitted)}
    open_ -= {(claim.role, claim.attribute) for claim in claimed}
    for entry in machine.vocabulary.entries:
        if (
            entry.read_as not in PINS
            or entry.default is not None
            or entry.attribute not in ("pin", "homing_pin")
        ):
            continue
        for _, groups in _occasions(machine, entry):
            for role, whole in machine.roles(entry, groups):
                key = filled(entry.key, whole)
                holds, _ = all_hold(shown, entry.needs, "", whole)
                if (
                    (role, entry.attribute) in open_
                    and holds
                    and key not in told
                    and not any(shown.of("", key))
                ):
                    reason = f"neither the files nor the wiring's [stock_pins] say {key}"
                    near = get_close_matches(key, strange, 1, cutoff=0.85)
                    hint = f"; is {near[0]} there misspelt?" if near else ""
                    yield Doubt(f"{reason}{hint}", role, entry.attribute)


def _missing(missing: NotSent, unused: Iterable[str]) -> str:
    """Return that a file was not sent, with one at hand whose name it may be misspelt from."""
    asked = missing.asked_by
    where = f", asked for at {asked.source.name}:{asked.span.line}," if asked else ""
    if missing.why:
        return f"{missing.name}{where} was not read: {missing.why}"
    if missing.pattern:
        return f"no file that fits {missing.name}{where} was sent"
    near = nearest(missing.name, unused)
    return f"{missing.name}{where} was not sent{f' (is {near} meant?)' if near else ''}"
