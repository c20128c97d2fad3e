"""One machine's settings seen through a vocabulary: what they speak of and what they mean."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import islice

from attrs import evolve, field

from pincheck import styles
from pincheck.chips import canonical
from pincheck.claims.entry import PINS, Entry, Vocabulary, matching
from pincheck.claims.numbers import elements
from pincheck.claims.pattern import filled
from pincheck.claims.pins import Pins
from pincheck.claims.shown import SEEN, Shown, text_of
from pincheck.claims.templates import needed
from pincheck.model import limits
from pincheck.model.claim import Lines, Place
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace
from pincheck.model.problem import refusal
from pincheck.model.reading import NotSent, Reading
from pincheck.model.role import Role, role
from pincheck.model.setting import Activity, Setting
from pincheck.model.wiring import Assembly
from pincheck.styles.groups import Groups, Reached, Things
from pincheck.wiring import trace

_HIGHEST = 8
"""Tools of one machine: the define style counts to eight, real machines have fewer."""


@frozen
class Match:
    """One setting that one entry knows."""

    entry: Entry
    setting: Setting
    groups: Mapping[str, str] = field(eq=False)


def thing_of(entry: Entry, groups: Mapping[str, str]) -> tuple[str, str] | None:
    """Return kind and id of the thing that an entry speaks of, None where it names a role."""
    match = entry.thing
    return (match["kind"], filled(match["id"] or "0", groups) or "0") if match else None


@frozen(slots=False)
class Interpretation:
    """A reading, a wiring and a vocabulary, with everything worked out once that claims and
    spelling both need."""

    reading: Reading
    assembly: Assembly | None
    vocabulary: Vocabulary

    @cached_property
    def style(self) -> styles.Style:
        """What the files are written in."""
        return styles.of(self.reading.style)

    @cached_property
    def shown(self) -> Shown:
        """Every setting by section and key."""
        words = self.vocabulary
        return Shown(self.reading.settings, words.evidence, words.required, words.conditions)

    def matches_of(self, setting: Setting) -> Iterator[Match]:
        """Yield what the vocabulary makes of one setting."""
        if setting.key:
            name = setting.section, setting.key
            if name not in self._known:
                found = self.vocabulary.candidates(*name)
                self._tried.append(self._tried[-1] + len(found))
                if self._tried[-1] > limits.NAMES:
                    what = f"more than {limits.NAMES:,} names to look for in the vocabulary"
                    raise refusal(setting.source, setting.start, what)
                self._known[name] = tuple(matching(found, *name))
            for entry, groups in self._known[name]:
                yield Match(entry, setting, groups)

    @cached_property
    def _known(self) -> dict[tuple[str, str], tuple[tuple[Entry, Mapping[str, str]], ...]]:
        """What was matched so far: a script may give one command thousands of times."""
        return {}

    @cached_property
    def matches(self) -> tuple[Match, ...]:
        """Every match of a setting that the firmware sees or may see, in its order."""
        seen = (s for s in self.reading.settings if s.activity in SEEN)
        return tuple(self.matches_of_all(seen))

    @cached_property
    def figures(self) -> dict[tuple[str, str], tuple[dict[str, float], str, Lines]]:
        """The figures of described sensors, by section and role, why they are not certain, and
        their lines.

        Filled as they are asked for: a table may be set under hundreds of conditions.
        """
        return {}

    def matches_of_all(self, settings: Iterable[Setting]) -> Iterator[Match]:
        """Yield what the vocabulary makes of several settings.

        Raises:
            UnreadableError: it knows more of them than any machine has.
        """
        count = 0
        for setting in settings:
            found = tuple(self.matches_of(setting))
            count += bool(found)
            if count > limits.UNDERSTOOD:
                what = f"more than {limits.UNDERSTOOD:,} settings of heaters, fans, sensors, probes"
                raise refusal(setting.source, setting.start, what)
            yield from found

    @cached_property
    def things(self) -> Things:
        """What is numbered or named, and how it hangs together."""
        return self._things(lost=False)

    def _things(self, *, lost: bool) -> Things:
        """Return the things that there are, or with `lost` also those that commands only speak of.

        A command that is lost still tells what somebody meant the thing for.
        """
        ids: dict[str, dict[str, None]] = {}
        links: dict[str, dict[str, str]] = {}
        for number in self._tools_not_run():
            ids.setdefault("tool not run", {})[number] = None
        for match in (*self.matches, *self.lost):
            thing = thing_of(match.entry, match.groups)
            if thing is None:
                continue
            if lost or match.setting.activity in SEEN:
                ids.setdefault(thing[0], {})[thing[1]] = None
            if match.entry.link and thing[1] in ids.get(thing[0], ()):
                certain = match.setting.activity is Activity.ACTIVE
                table = links.setdefault(match.entry.link, {})
                if certain or thing[1] not in table:
                    table[thing[1]] = text_of(match.setting)
        return Things({k: tuple(v) for k, v in ids.items()}, links, self.vocabulary.names)

    @cached_property
    def lost(self) -> tuple[Match, ...]:
        """Every match of a setting that leaves nothing behind."""
        return tuple(self.matches_of_all(lost.setting for lost in self.reading.lost))

    @cached_property
    def apart(self) -> tuple[NotSent, ...]:
        """The files not sent whose names tell that nothing of the wiring is in them."""
        return tuple(n for n in self.reading.not_sent if self.vocabulary.is_apart(n.name))

    @cached_property
    def not_sent(self) -> tuple[NotSent, ...]:
        """The other files not sent, any of which may hold anything."""
        return tuple(n for n in self.reading.not_sent if n not in self.apart)

    def _tools_not_run(self) -> Iterator[str]:
        """Yield the tools of branches that are not taken: they keep their place in the order."""
        for setting in self.reading.settings:
            if setting.activity is Activity.DISABLED:
                for match in self.matches_of(setting):
                    if match.entry.link == "number of tool":
                        yield match.groups.get("n", "0")

    @cached_property
    def groups(self) -> Groups:
        """What every thing is for."""
        fitted = self.trace.roles() if self.trace else frozenset()
        found = self.style.groups(self.things, self._reached(), fitted)
        if not self.lost:
            return found
        meant = self.style.groups(self._things(lost=True), self._reached(), fitted)
        return evolve(found, table={**meant.table, **found.table})

    def _reached(self) -> Reached:
        """Return what is fitted on the pin of every thing."""
        fitted: dict[Place, list[str]] = {}
        for wired in self.trace.wired if self.trace else ():
            if wired.place:
                fitted.setdefault(wired.place, []).append(wired.role)
        found = {}
        for match in self.matches if fitted else ():
            thing = thing_of(match.entry, match.groups)
            # The tachometer of a fan tells nothing that the fan's own pin does not.
            if thing and match.entry.attribute == "pin" and match.entry.function != "tachometer":
                analog = match.entry.read_as == "analog pin"
                first = self.style.pieces(text_of(match.setting))[0]
                place = self.pins.read(first.text, analog=analog).place
                if place:
                    found[thing] = tuple(fitted.get(place, ()))
        return found

    @cached_property
    def pins(self) -> Pins:
        """What pin names mean."""
        aliases = dict(islice(self._aliases(), limits.ALIASES))
        shared = dict(self.things.linked("shared pins"))
        return Pins(self.style, self.assembly, aliases, shared)

    @cached_property
    def usual_pin(self) -> str:
        """A pin as this user writes pins, for a place where no pin stands yet."""
        for match in self.matches:
            if match.entry.read_as in PINS:
                for piece in self.style.pieces(match.setting.value):
                    if self.pins.read(piece.text).place:
                        return self.style.parted(piece.text).name.strip()
        return ""

    def _aliases(self) -> Iterator[tuple[tuple[str, str], str]]:
        """Yield the user's own names of pins, each with its chip, and the pin that it means."""
        for match in self.matches:
            if match.entry.link != "aliases":
                continue
            chips = self.shown.active(match.setting.section, "mcu")
            for chip_name in (text_of(chips) if chips else "mcu").split(","):
                name = chip_name.strip()
                for piece in self.style.pieces(text_of(match.setting), limits.ALIASES):
                    alias, _, pin = piece.text.partition("=")
                    if alias.strip() and pin.strip():
                        key = "" if name == "mcu" else name
                        yield (key, alias.strip()), pin.strip()

    @cached_property
    def trace(self) -> Trace | None:
        """What the copper does, None without an assembly."""
        return trace(self.assembly, canonical) if self.assembly else None

    def roles(
        self, entry: Entry, groups: Mapping[str, str], text: str = ""
    ) -> Iterator[tuple[Role, Mapping[str, str]]]:
        """Yield every role that an entry speaks of, each with its places filled."""
        known = self.groups
        for more in self._spread(entry, text):
            all_groups = {**groups, **more}
            if not self.fills(entry, all_groups):
                continue
            try:
                found = self._role(entry, all_groups, known)
            except (KeyError, ValueError):
                continue
            if found:
                yield found, all_groups

    def fills(self, entry: Entry, groups: Mapping[str, str]) -> bool:
        """Return whether all that an entry says of keys can be filled in."""
        kept = self.vocabulary.needed
        if id(entry) not in kept:
            conditions, sections = self.vocabulary.conditions, self.style.sections
            kept[id(entry)] = needed(entry, conditions, sections=sections)
        return kept[id(entry)] <= groups.keys()

    @cached_property
    def _tried(self) -> list[int]:
        """How many entries all names so far were held against, after each of them."""
        return [0]

    def _spread(self, entry: Entry, text: str) -> Iterator[Mapping[str, str]]:
        if "{each}" in entry.role:
            yield from ({"each": str(number)} for number in self.groups.hotends[:_HIGHEST])
        elif "{i}" in entry.role and "{i}" not in entry.key:
            # A choice between two values is one value, whatever its colon looks like.
            count = 1 if "?" in text else len(elements(text))
            # one value serves all (public sources of the style)
            count = len(self.groups.hotends) if count == 1 else count
            yield from ({"i": str(at)} for at in range(min(count, _HIGHEST)))
        else:
            yield {}

    def _role(self, entry: Entry, groups: Mapping[str, str], known: Groups) -> Role | None:
        if thing := thing_of(entry, groups):
            group = known.of(*thing)
            wanted = group and "." in entry.role and entry.group in ("", group[0])
            return role(*group, entry.function) if group and wanted else None
        match = entry.plain_role
        assert match
        number = filled(match["number"], groups).strip() or "0"
        return role(filled(match["group"], groups).lower(), int(number), match["function"])
