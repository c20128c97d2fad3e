"""One line of a vocabulary, and all of them with quick look-up."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fnmatch import translate
from functools import cached_property
from operator import itemgetter

from attrs import field

from pincheck import styles
from pincheck.claims.pattern import matched, prefix, stem, stems
from pincheck.model.frozen import frozen
from pincheck.model.setting import Setting, StyleName
from pincheck.model.source import Span

THING_FORM = re.compile(r"<(?P<kind>[^<>{]+?)(?: (?P<id>\{\w+\??\}|\d+))?>(?:\.(?P<function>\w+))?")
ROLE_FORM = re.compile(
    r"(?P<group>[a-z]+|\{axis\}|\{xy\})(?P<number>\{\w+\??\}|\d*)\.(?P<function>\w+)"
)

PINS = frozenset(("input pin", "pulse pin", "output pin", "analog pin", "pin"))
"""The readings of values that are pins."""


@frozen(slots=False)
class Entry:
    """What one key of a style means.

    `section` and `key` are patterns (`pincheck.claims.pattern`); `section` is empty in the define
    style. `role` is a role with places, or `<kind id>.function` where the user's own files say
    what the thing is for (`<fan {n}>.fan`); with `group` it counts only for things of that
    group. Exactly one of `attribute`, `figure` (of a sensor
    that the user describes) and `link` (what ties things together: a tool to its heaters) is set.
    `read_as` names the conversion of the value; `scale`, `per`, `invert`, `words` and `constant`
    refine it. `needs` are conditions on other keys. `default` is what the firmware takes where
    the key is missing though one of `beside` is there. `least` and `most` are one of several
    bounds: it counts where it is lower, or higher, than what else is claimed. `nth` is
    the pin of a list that it is about; without that many pins there it claims nothing.
    """

    key: str
    section: str = ""
    role: str = ""
    group: str = ""
    attribute: str = ""
    figure: str = ""
    link: str = ""
    read_as: str = "text"
    scale: float = 1.0
    per: bool = False
    invert: bool = False
    words: Mapping[str, str | bool] = field(factory=dict, eq=False)
    constant: str = ""
    needs: tuple[str, ...] = ()
    default: str | None = None
    beside: tuple[str, ...] = ()
    several: bool = False
    nth: int = 1
    spare: bool = False
    least: bool = False
    most: bool = False
    basis: str = "common practice"
    at: Span | None = field(default=None, eq=False)

    @cached_property
    def thing(self) -> re.Match[str] | None:
        """Kind, id and function of the thing that the role names, None where it is a role."""
        return THING_FORM.match(self.role)

    @cached_property
    def plain_role(self) -> re.Match[str] | None:
        """Group, number and function of a role without a thing, None where it is none."""
        return ROLE_FORM.fullmatch(self.role)

    @cached_property
    def function(self) -> str:
        """The function that the role template ends in."""
        return self.role.rpartition(".")[2]

    def match(self, section: str, key: str) -> dict[str, str] | None:
        """Return what fills the places, None where section or key do not match."""
        in_key = matched(self.key, key)
        in_section = None if in_key is None else matched(self.section, section)
        if in_key is None or in_section is None:
            return None
        found = {**in_section, **in_key}
        return {
            name: (text or "0").lstrip("0") or "0" if name in ("n", "each", "i") else text
            for name, text in found.items()
        }


def _sought(pattern: str) -> str:
    """Return what to search for: a `*` in front would try every length of the text."""
    bare = pattern.lstrip("*")
    return translate(bare) if bare != pattern else rf"\A{translate(bare)}"


@frozen(slots=False)
class Vocabulary:
    """Every entry of a style.

    `relevant` are words that make a key worth a mention when no entry knows it, `ignored` are
    patterns (`*` for anything) of keys that only look so. `evidence` are keys that show which
    files were sent, `required` those without which the firmware does not build: where one is
    not set, what depends on it is open. `names` says which words in a user's own name of a fan,
    heater or sensor tell its group. `doubts` are (attribute, reason, command): what the style's
    files leave open unless a section or command of that beginning is there. `conditions` name
    needs of which one must hold. `apart` are words in a file's name that tell that nothing of the
    wiring is in it.
    """

    style: StyleName
    entries: tuple[Entry, ...]
    relevant: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()
    evidence: tuple[str, ...] = ()
    required: tuple[str, ...] = ()
    names: Mapping[str, tuple[str, ...]] = field(factory=dict)
    doubts: tuple[tuple[str, str, str], ...] = ()
    conditions: Mapping[str, tuple[str, ...]] = field(factory=dict)
    apart: tuple[str, ...] = ()

    @cached_property
    def _by_stem(self) -> dict[str, dict[tuple[bool, str], list[tuple[int, Entry]]]]:
        """The entries with their numbers, by stem, then by the whole key or by how it begins.

        Most keys have no place, and others differ before it: looking them up spares trying every
        entry of a command.
        """
        table: dict[str, dict[tuple[bool, str], list[tuple[int, Entry]]]] = {}
        for number, entry in enumerate(self.entries):
            begins = prefix(entry.key)
            for text in stems(entry.section or entry.key):
                by_key = table.setdefault(text, {})
                by_key.setdefault(("{" not in entry.key, begins), []).append((number, entry))
        return table

    @cached_property
    def needed(self) -> dict[int, frozenset[str]]:
        """The places that each entry needs, by its `id`, filled as they are asked for."""
        return {}

    @cached_property
    def attributes(self) -> frozenset[str]:
        """Every attribute that the style has a word for, prefixes of pins included."""
        prefixes = ("inverted", "pull") if styles.of(self.style).pulls else ()
        return frozenset((*(entry.attribute for entry in self.entries), *prefixes)) - {""}

    @cached_property
    def figures(self) -> tuple[Entry, ...]:
        """Every entry for a figure of a sensor that the user describes."""
        return tuple(entry for entry in self.entries if entry.figure)

    def match(self, section: str, key: str) -> Iterator[tuple[Entry, dict[str, str]]]:
        """Yield every entry that knows a setting of this name, with what fills its places."""
        return matching(self.candidates(section, key), section, key)

    def candidates(self, section: str, key: str) -> Sequence[tuple[int, Entry]]:
        """Return every entry that may know a setting of this name, with its number, in order."""
        by_key = self._by_stem.get(stem(section or key), {})
        lower = key.lower()
        found = [*by_key.get((True, lower), ())]
        for end in self._lengths if by_key else ():
            if end <= len(key):
                found += by_key.get((False, lower[:end]), ())
        return sorted(found, key=itemgetter(0))

    @cached_property
    def _lengths(self) -> tuple[int, ...]:
        """How long the beginnings of keys with a place are."""
        return tuple({len(prefix(entry.key)) for entry in self.entries if "{" in entry.key})

    # Both are sought in lower case: an expression that minds no case takes ten times as long.

    @cached_property
    def _ignored(self) -> re.Pattern[str]:
        return re.compile("|".join(_sought(text.lower()) for text in self.ignored) or r"(?!)")

    @cached_property
    def _relevant(self) -> re.Pattern[str]:
        return re.compile("|".join(re.escape(text.lower()) for text in self.relevant) or r"(?!)")

    def is_apart(self, file: str) -> bool:
        """Return whether a file's name tells that its absence leaves nothing open."""
        return not set(self.apart).isdisjoint(re.findall(r"[a-z]+", file.lower()))

    def looks_relevant(self, setting: Setting) -> bool:
        """Return whether a setting that no entry knows deserves a mention."""
        name = f"{setting.section} {setting.key}".strip().lower()
        return bool(self._relevant.search(name)) and not self._ignored.search(name)


def matching(
    candidates: Iterable[tuple[int, Entry]], section: str, key: str
) -> Iterator[tuple[Entry, dict[str, str]]]:
    """Yield those of the numbered entries that know a setting of this name."""
    for _, entry in candidates:
        groups = entry.match(section, key)
        if groups is not None:
            yield entry, groups


Words = Mapping[StyleName, Vocabulary]
"""A vocabulary by style; where a style has none, the built-in one holds."""
