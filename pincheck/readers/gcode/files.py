"""Which of the files at hand a script call means, and which script runs at start-up."""

import re
from collections.abc import Iterable, Iterator, Sequence
from operator import itemgetter
from posixpath import basename, dirname, join, normpath

from pincheck.model.source import Source

OVERRIDE = "config-override.g"
"""The script that M501 runs: heater models and offsets that the firmware saved itself."""

_DRIVE = re.compile(r"^\d:")
_CALLS = re.compile(r'^[^;"\n]*?\bM98[^\S\n]+P[^\S\n]*"?([^"\s;{]+)', re.MULTILINE | re.IGNORECASE)
_BINDS = re.compile(
    r"^[^\S\n]*M0*(950|308|305|307|563|569|584)(?!\d)", re.MULTILINE | re.IGNORECASE
)
_BY_EVENTS = re.compile(
    r"(?:homeall|home[xyzuvwabcd]+|bed|(?:deploy|retract)probe\d*|t(?:pre|post|free)(?P<tool>\d+)"
    r"|start|daemon|trigger\d+)\.g"
)
"""Scripts that homing, levelling, probing, a tool change, a print, time or an input start."""
_PROBING = re.compile(r"(deploy|retract)probe(0?)\.g")
_SCRIPT = re.compile(r"[\w.+-]+")
_OLD_COPY = re.compile(r"\d{8}|backup|\bold\b|[-_]old|\bcopy\b|\.bak\b", re.IGNORECASE)


class ScriptFiles:
    """The files at hand by their names, upper and lower case alike; nothing else is looked at.

    A call names a file of the card ("0:/sys/toolhead.g", "/macros/fans.g") or one of the folder
    of system files ("toolhead.g"), which `move` changes; an upload may have any folder on top of
    the card's own. Where no path fits, a base name that only one file has will do, unless the
    folder was changed: a file of the old one is then another file.
    """

    def __init__(self, sources: Sequence[Source], start: Source | None = None) -> None:
        self._by_name: dict[str, Source] = {}
        self._by_base: dict[str, list[Source]] = {}
        for source in sources:
            name = normpath(source.name).lower()
            self._by_name.setdefault(name, source)
            self._by_base.setdefault(basename(name), []).append(source)
        self._start = self.system = dirname(normpath(start.name).lower()) if start else None
        self._moved = False

    def named(self, path: str, asked_by: Source) -> Source | None:
        """Return the file that a call means, None where it is not at hand."""
        ways = self._ways(path, asked_by)
        if self._moved and not _DRIVE.sub("", path).startswith("/"):
            return self._by_name.get(next(ways))
        for way in ways:
            if basename(way) and way in self._by_name:
                return self._by_name[way]
        same_base = self._by_base.get(basename(normpath(path.lower())), [])
        return same_base[0] if len(same_base) == 1 else None

    def _ways(self, path: str, asked_by: Source) -> Iterator[str]:
        asked = _DRIVE.sub("", path).lower()
        inner = normpath(asked.lstrip("/"))
        folder = dirname(normpath(asked_by.name).lower())
        if self.system is not None and not asked.startswith("/"):
            yield normpath(join(self.system, inner))
        above = [folder]
        while above[-1]:
            above.append(dirname(above[-1]))
        yield from (normpath(join(place, inner)) for place in above)
        if below := inner.partition("/")[2]:
            yield normpath(join(folder, below))

    def move(self, path: str, asked_by: Source) -> None:
        """Let calls look into another folder, whether it is at hand or not (M505)."""
        ways = tuple(self._ways(path, asked_by))
        there = (w for w in ways if any(name.startswith(f"{w}/") for name in self._by_name))
        way = next(there, ways[0])
        # an upload without folders is that of the usual one
        if way != "sys" or self._start:
            self.system, self._moved = way, True

    def probing(self) -> dict[str, Source]:
        """Return the scripts that deploy and stow the first probe: one with its number counts."""
        found: dict[str, tuple[str, Source]] = {}
        for name, source in self._by_name.items():
            event = _PROBING.fullmatch(basename(name))
            if event and dirname(name) in (self.system, self._start):
                word = "deploy" if event[1] == "deploy" else "stow"
                found[word] = max(
                    found.get(word, ("", source)), (event[2], source), key=itemgetter(0)
                )
        return {word: source for word, (_, source) in found.items()}

    def started_by_events(self, tools: Iterable[str]) -> Iterator[Source]:
        """Yield the scripts that start by themselves in a machine that runs, with these tools."""
        numbers = (None, *tools)
        for name, source in self._by_name.items():
            event = _BY_EVENTS.fullmatch(basename(name))
            own = event and event["tool"] in numbers
            if own and dirname(name) in (self.system, self._start):
                yield source


def roots(sources: Sequence[Source]) -> tuple[Source, ...]:
    """Return the scripts that bind pins, sensors or drives and that no other script calls."""
    files = ScriptFiles(sources)
    called = {
        found.name
        for source in sources
        for path in _CALLS.findall(source.text)
        if (found := files.named(path, source)) and found is not source
    }
    free = tuple(source for source in sources if source.name not in called)
    return tuple(source for source in free if _BINDS.search(source.text)) or free


def mentioned(first: Sequence[Source], sources: Sequence[Source]) -> tuple[Source, ...]:
    """Return the scripts that others of them name, from the first on, or that events start.

    A name counts wherever it stands, so that one put together from a variable's text is found.
    """
    by_base: dict[str, list[Source]] = {}
    for source in sources:
        by_base.setdefault(basename(source.name).lower(), []).append(source)
    events = [source for source in sources if _BY_EVENTS.fullmatch(basename(source.name).lower())]
    met = {source.name: source for source in (*first, *events)}
    waiting = list(met.values())
    while waiting:
        for word in set(_SCRIPT.findall(waiting.pop().text.lower())):
            for found in by_base.get(word, ()):
                if found.name not in met:
                    met[found.name] = found
                    waiting.append(found)
    return tuple(met.values())


def is_start_up(source: Source) -> bool:
    """Return whether the firmware runs a script when it starts."""
    return basename(source.name).lower() == "config.g"


def homes_z(name: str) -> bool:
    """Return whether the firmware runs a script of that name to home the Z axis."""
    return basename(name).lower() in ("homeall.g", "homez.g")


def main_files(sources: Sequence[Source]) -> tuple[Source, ...]:
    """Return the scripts that may be the one run at start-up, all equally likely.

    The firmware runs `config.g`; without one, every script of `roots` may be it.
    """
    named = [source for source in sources if is_start_up(source)]
    likely = {
        source.name: (bool(_OLD_COPY.search(source.name)), source.name.count("/"))
        for source in named or roots(sources)
    }
    best = min(likely.values(), default=None)
    return tuple(source for source in sources if likely.get(source.name, ()) == best)


def main_file(sources: Sequence[Source]) -> Source | None:
    """Return the script where reading starts: the only one, or the machine's start-up script.

    None where no file looks like one, or several do.
    """
    if len(sources) == 1:
        return sources[0]
    found = main_files(sources)
    return found[0] if len(found) == 1 else None
