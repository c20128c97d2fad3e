"""Which of the files at hand an include means, and which file is a machine's main one."""

import re
from collections.abc import Container, Iterator, Sequence
from fnmatch import translate
from itertools import islice
from posixpath import basename, dirname, join, normpath, split

from pincheck.model import limits
from pincheck.model.source import Source

_MAGIC = re.compile(r"[*?\[]")
_INCLUDES = re.compile(r"^[^\S\n]*\[[^\S\n]*include[^\S\n]+([^\]\n]+)\]", re.MULTILINE)
_MACHINE = re.compile(r"^\[(printer|mcu)\]", re.MULTILINE)
CONVENTIONAL = "printer.cfg"
"""The name that the firmware's own installation gives the file it reads first."""

_OLD_COPY = re.compile(
    r"\d{8}_\d{6}|(?:19|20)\d\d[-_.]?\d\d[-_.]?\d\d"
    r"|(?<![a-z])(?:backup|bak|old|orig|copy)(?![a-z])",
    re.IGNORECASE,
)


class IncludeFiles:
    """The files at hand by their names; nothing else is ever looked at.

    A path leads from the including file's folder, as in the firmware. Where all files were
    handed over without folders, a path that names one of them in a folder means that one.
    """

    def __init__(self, sources: Sequence[Source]) -> None:
        self._by_name = {normpath(source.name): source for source in sources}
        self._by_depth: dict[int, list[list[str]]] = {}
        for name in self._by_name:
            parts = name.split("/")
            self._by_depth.setdefault(len(parts), []).append(parts)
        self._flat = not any("/" in name for name in self._by_name)
        self._found: dict[str, tuple[Source, ...]] = {}

    def named(self, path: str, asked_by: Source) -> tuple[Source, ...]:
        """Return the files that an include's path means, sorted by name; empty if none."""
        target = self.target(path, asked_by)
        if len(target) > limits.PATH_CHARS:
            return ()
        if _MAGIC.search(path):
            if target not in self._found:
                names = sorted(self._matching(target))
                self._found[target] = tuple(self._by_name[name] for name in names)
            return self._found[target]
        found = self._by_name.get(target)
        if found is None and self._flat:
            found = self._by_name.get(basename(target))
            found = None if found is asked_by else found
        return (found,) if found else ()

    def _matching(self, pattern: str) -> Iterator[str]:
        """Return the names that a pattern fits; as in the firmware, a `*` ends at a slash."""
        wanted = [
            re.compile(("" if part.startswith(".") else r"(?!\.)") + translate(part)).match
            for part in pattern.split("/")
        ]
        found = self._by_depth.get(len(wanted), [])
        for at, fits in enumerate(wanted):
            found = [parts for parts in found if fits(parts[at])]
        return map("/".join, found)

    def target(self, path: str, asked_by: Source) -> str:
        """Return the name that a path written in a file means; it may lead out of the folder."""
        return normpath(join(dirname(asked_by.name), path))


def is_pattern(path: str) -> bool:
    """Whether a path is a pattern, which may well match nothing."""
    return _MAGIC.search(path) is not None


def includes(source: Source) -> Iterator[str]:
    """Yield the paths that a file includes, as written, as far as the bounds go."""
    found = (match[1].strip() for match in _INCLUDES.finditer(source.text))
    return islice(found, limits.INCLUDES)


def included_by(source: Source, files: IncludeFiles) -> Iterator[Source]:
    """Yield every other file that a file includes."""
    for path in includes(source):
        yield from (found for found in files.named(path, source) if found is not source)


def roots(sources: Sequence[Source]) -> Iterator[Source]:
    """Yield the files that no other file includes."""
    files = IncludeFiles(sources)
    included = {found.name for source in sources for found in included_by(source, files)}
    return (source for source in sources if source.name not in included)


def main_files(sources: Sequence[Source]) -> tuple[Source, ...]:
    """Return the files that may be a machine's main one, all equally likely.

    That is `printer.cfg` unless a file that it does not reach itself includes it. Without one, a
    main file is included by no other and has a `[printer]` or `[mcu]` section, better the first:
    chips may stand in a file of their own whose include is misspelt. Copies that the firmware or
    a person put aside, and files in deeper folders, count less.
    """
    free = list(roots(sources)) or sources
    if named := _conventional(sources, free):
        return named
    likely = {
        source.name: (
            "printer" not in _MACHINE.findall(source.text),
            -len(set(_MACHINE.findall(source.text))),
            _is_old(source),
            source.name.count("/"),
        )
        for source in free
        if _MACHINE.search(source.text)
    }
    best = min(likely.values(), default=None)
    found = [source for source in free if likely.get(source.name, ()) == best]
    stems = {(folder, name.partition(".")[0]) for folder, name in (split(it.name) for it in found)}
    return tuple(it for it in found if not _is_variant(it, stems))


def _conventional(sources: Sequence[Source], free: Sequence[Source]) -> tuple[Source, ...]:
    """Return the files of the usual name that lie highest and that only their own files include."""
    named = [it for it in sources if basename(it.name).lower() == CONVENTIONAL]
    if not named:
        return ()
    files = IncludeFiles(sources)
    fresh = [it for it in named if it in free or not _asked_from_outside(it, sources, files)]
    rank = {it.name: (_is_old(it), it.name.count("/")) for it in fresh}
    return tuple(it for it in fresh if rank[it.name] == min(rank.values()))


def _asked_from_outside(main: Source, sources: Sequence[Source], files: IncludeFiles) -> bool:
    inside, waiting = {main.name}, [main]
    while waiting:
        for found in included_by(waiting.pop(), files):
            if found.name not in inside:
                inside.add(found.name)
                waiting.append(found)
    outside = (source for source in sources if source.name not in inside)
    return any(found is main for source in outside for found in included_by(source, files))


def _is_old(source: Source) -> bool:
    return _OLD_COPY.search(source.name) is not None


def _is_variant(source: Source, stems: Container[tuple[str, str]]) -> bool:
    """Whether a file is called after another one: `machine_v2.cfg` beside `machine.cfg`.

    `stems` are the folders and names, without ending, of those it may be called after.
    """
    folder, name = split(source.name)
    return any(
        (folder, name[:end]) in stems and not name[end].isalpha() and name[end] != "."
        for end in range(1, len(name))
    )


def main_file(sources: Sequence[Source]) -> Source | None:
    """Return the file where reading starts: the only one, or the machine's one main file.

    None where no file looks like one, or several do.
    """
    if len(sources) == 1:
        return sources[0]
    found = main_files(sources)
    return found[0] if len(found) == 1 else None
