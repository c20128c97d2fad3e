"""Where in the user's files a claim that nobody wrote yet would stand."""

from collections.abc import Container, Iterable, Iterator, Mapping

from attrs import evolve, field

from pincheck.claims.entry import Entry
from pincheck.claims.interpretation import Interpretation, thing_of
from pincheck.claims.pattern import filled, places
from pincheck.claims.shown import all_hold, key_of
from pincheck.model.frozen import frozen
from pincheck.model.role import split
from pincheck.model.setting import Activity, Setting


@frozen
class KeyPlace:
    """A section (or command) and key that would claim something.

    `commented` is a commented-out setting of the same key; `after` the setting behind which a
    new one belongs: of the same section where that exists, else of a kindred key, None for
    the end of the file. `awaited` tells that it needs a key which is set together with it.
    """

    entry: Entry
    section: str
    key: str
    groups: Mapping[str, str] = field(eq=False)
    active: Setting | None = None
    commented: Setting | None = None
    after: Setting | None = None
    awaited: bool = False


def placements(
    machine: Interpretation,
    role: str,
    attribute: str,
    gone: Setting | None = None,
    made: Container[str] = (),
) -> Iterator[KeyPlace]:
    """Yield every place for a claim: first where the key stands already, then by section.

    `gone` is a setting that will be commented out: what must not stand beside it then counts.
    `made` are keys that get a value together with this one: what needs them then counts.
    """
    without = f"!{gone.key}" if gone else ""
    found = []
    # a key that something else keeps from counting is no place: the edit would change nothing
    for entry in machine.vocabulary.entries:
        if entry.attribute != attribute or entry.most:
            continue
        for section, groups in _sections(machine, entry, role):
            needs = [need for need in entry.needs if entry.key not in need and need != without]
            open_ = [need for need in needs if filled(key_of(need), groups) not in made]
            if _counts(machine, open_, section, groups):
                place = _placed(machine, entry, section, groups)
                found.append(evolve(place, awaited=open_ != needs))

    def rank(place: KeyPlace) -> int:
        if place.active or place.commented:
            return 0
        return 1 if place.after and place.after.section == place.section else 2

    yield from sorted(found, key=rank)


def _counts(
    machine: Interpretation, needs: Iterable[str], section: str, groups: Mapping[str, str]
) -> bool:
    """Return whether the key would have an effect: what it needs of other keys does not fail."""
    if not machine.reading.settings:
        return True
    holds, _ = all_hold(machine.shown, needs, section, groups)
    return holds


def _sections(
    machine: Interpretation, entry: Entry, role: str
) -> Iterator[tuple[str, Mapping[str, str]]]:
    """Yield every section in which an entry's key would speak of `role`, with its places."""
    if set(places(entry.key)) & {"any", "any?"} or entry.function != split(role)[2]:
        return
    own: dict[str, Mapping[str, str]] = {}
    for section, groups in machine.shown.matching(entry.section) if entry.section else ():
        for found, all_groups in _speaking(machine, entry, role, groups):
            if found == role:
                own[section] = all_groups
    yield from own.items()
    if own or set(places(entry.section)) & {"any"}:
        return
    for new in _new_groups(machine, entry, role):
        if machine.fills(entry, new):
            yield filled(entry.section, new), new


def _speaking(
    machine: Interpretation, entry: Entry, role: str, groups: Mapping[str, str]
) -> Iterator[tuple[str, Mapping[str, str]]]:
    number = split(role)[1]
    axis = split(role)[0]
    text = ":".join("0" for _ in range(number + 1))
    yield from machine.roles(entry, {"n": str(number), "axis": axis, "xy": axis, **groups}, text)


def _new_groups(machine: Interpretation, entry: Entry, role: str) -> Iterator[Mapping[str, str]]:
    """Yield what fills an entry's places so that it speaks of a role that nothing speaks of yet."""
    group, number, function = split(role)
    if entry.group not in ("", group):
        return
    thing = thing_of(entry, {"n": "0", "name": ""})
    if thing is None:
        places_of_role = {"n": str(number), "each": str(number), "i": str(number)}
        plain = entry.role.partition(".")[0]
        wanted = plain.partition("{")[0]
        axis = wanted == ""
        if entry.function != function or (not axis and wanted.rstrip("0123456789") != group):
            return
        if axis and group not in ("xy" if "{xy}" in plain else "xyz"):
            return
        if not axis and "{" not in plain and role != entry.role:
            return
        letter = machine.style.axis(group)
        yield {**places_of_role, "axis": letter, "xy": letter, "name": group}
    elif entry.function == function:
        # a number or name that means something else already would move that instead
        known = machine.groups.ids(thing[0], (group, number))
        if not known and _is_another_thing(machine, thing[0], role):
            return
        taken = {name for kind, name in machine.groups.table if kind == thing[0]}
        new = machine.style.new_name(thing[0], (group, number), taken)
        for name in known or filter(None, (new,)):
            yield {"n": name, "name": name}


def _is_another_thing(machine: Interpretation, kind: str, role: str) -> bool:
    """Return whether a role is something else already: a fan that obeys commands, say."""
    group, number, function = split(role)
    things = (thing_of(e, {"n": "0", "name": ""}) for e in machine.vocabulary.entries
              if e.function == function)  # fmt: skip
    kinds = {thing[0] for thing in things if thing} - {kind}
    return any(machine.groups.ids(other, (group, number)) for other in kinds)


def _placed(
    machine: Interpretation, entry: Entry, section: str, groups: Mapping[str, str]
) -> KeyPlace:
    key = filled(entry.key, groups)
    shown = machine.shown.of(section, key)
    commented = (s for s in shown if s.activity is Activity.COMMENTED)
    idle = [s for s in commented if machine.style.may_count(s, machine.reading)]
    active = machine.shown.active(section, key)
    return KeyPlace(
        entry,
        section,
        key,
        groups,
        active=active,
        commented=idle[-1] if idle and not active else None,
        after=_after(machine, entry, section, groups),
    )


def _after(
    machine: Interpretation, entry: Entry, section: str, groups: Mapping[str, str]
) -> Setting | None:
    if machine.style.sections:
        own = reversed(machine.shown.in_section(section))
        certain = (s for s in own if s.activity is Activity.ACTIVE and s.section == section)
        return next((s for s in certain if not _is_saved(machine, s)), None)
    beside = machine.shown.last(filled(key, groups) for key in entry.beside)
    return beside or machine.shown.last(
        m.setting.key for m in machine.matches if _akin(m.entry, entry)
    )


def _is_saved(machine: Interpretation, setting: Setting) -> bool:
    """Return whether a setting stands in the block that the firmware writes itself."""
    mark = machine.style.saved_block
    return bool(mark) and setting.source.line(setting.span.line).startswith(mark)


def _akin(entry: Entry, other: Entry) -> bool:
    return entry.role == other.role or entry.role.partition("{")[0] == other.role.partition("{")[0]
