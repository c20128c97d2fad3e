"""Sources sorted into machines: which style, which main file, which order, and why."""

from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from difflib import get_close_matches
from pathlib import Path, PurePosixPath

from attrs import evolve, field

from pincheck import styles
from pincheck.intake.gather import Handed, opened
from pincheck.intake.kinds import FileKind, counted, is_conventional, kind_of
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.printable import cut
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.reading import Reading
from pincheck.model.setting import STYLES, Activity, StyleName
from pincheck.model.source import Source
from pincheck.styles.files import Starts


@frozen
class Machine:
    """The configuration of one machine: sources in reading order, and the main one.

    `starts` names the files where reading starts. `sources` are those that these may reach,
    `others` all further files that were handed over: nothing asks for them, or they could not be
    read. `reason` says why this style and this main file, in words. `root` is the folder that the
    names of the sources are relative to, None where nothing can be written back. `problems` are
    those of taking the files in, before any reader saw them.
    """

    name: str
    style: StyleName
    sources: tuple[Source, ...]
    main: Source
    reason: str
    starts: tuple[str, ...] = ()
    others: tuple[Source, ...] = field(default=())
    root: Path | None = None
    problems: tuple[Problem, ...] = ()


_SHOWN = 5
"""Files named that are no configuration, or that nothing asks for."""


def machines(
    handed: Handed, style: StyleName | None = None, main: str = ""
) -> tuple[tuple[Machine, ...], tuple[Problem, ...]]:
    """Return the machines among what was handed over, and what is in the way.

    `style` overrides the recognition by content, `main` names the file where reading starts.
    Several machines are all returned; choosing is the caller's matter.

    Raises:
        UnreadableError: there is far more of it than any machine has.
    """
    kinds = {source.name: kind_of(source) for source in handed.sources}
    if style and (other := _all_of_another(style, handed, kinds)):
        return (), (*handed.problems, other)
    problems: list[Problem] = []
    if main := main or handed.main:
        first = _named(main, handed)
        if isinstance(first, Problem):
            return (), (*handed.problems, first)
        chosen = style or kinds[first.name].style
        groups = dict[StyleName, Sequence[Source]]({chosen: [first]} if chosen else {})
        problems += [] if chosen else [_mistaken(first, kinds[first.name])]
    else:
        groups = _by_style(handed, kinds, style)
        problems += (_mistaken(s, kinds[s.name]) for s in handed.sources if kinds[s.name].mistaken)
    found = tuple(
        machine
        for chosen in STYLES
        for machine in _of_style(chosen, groups.get(chosen, []), handed, kinds, style)
    )
    if handed.untold and not _is_certain(found, main):
        raise UnreadableError((handed.untold,))
    if found:
        problems.clear()
    if not found and not problems:
        problems += _nothing(handed)
    used = {source.name for machine in found for source in machine.sources}
    left = _left_out(handed, kinds, used)
    mine = tuple(
        evolve(m, root=handed.root, problems=handed.problems, reason=m.reason + left) for m in found
    )
    return mine, (*handed.problems, *problems)


def _by_style(
    handed: Handed, kinds: Mapping[str, FileKind], style: StyleName | None
) -> dict[StyleName, Sequence[Source]]:
    """Return the files of each style that may be a main file's."""
    by_style: dict[StyleName, list[Source]] = {}
    for source in handed.sources:
        if chosen := style or kinds[source.name].style:
            by_style.setdefault(chosen, []).append(source)
    with_main = {s: group for s, group in by_style.items() if any(map(_holds_main(s), group))}
    return {s: _with_kin(group, handed, kinds) for s, group in (with_main or by_style).items()}


def _named(main: str, handed: Handed) -> Source | Problem:
    """Return the file that the user calls the main one, by its path or the end of it."""
    path = PurePosixPath(main)
    if handed.root and path.is_absolute() and path.is_relative_to(handed.root):
        path = path.relative_to(handed.root)
    by_name = {source.name: source for source in handed.sources}
    alike = [s for s in handed.sources if PurePosixPath(s.name).match(str(path))]
    if found := by_name.get(str(path)):
        return found
    if len(alike) == 1:
        return alike[0]
    message = "there are several such files" if alike else "no such file was handed over"
    near = next(iter(get_close_matches(str(path), by_name, 1)), "")
    expected = "the main file's name, with its folder"
    return Problem(cut(main, 120), message, expected=expected, nearest=near, fatal=True)


def _is_certain(found: Sequence[Machine], main: str) -> bool:
    """Tell whether the main file is known although not every file was looked at."""
    known = (is_conventional(machine.main.name) for machine in found)
    return len(found) == 1 and (bool(main) or all(known))


def _all_of_another(
    style: StyleName, handed: Handed, kinds: Mapping[str, FileKind]
) -> Problem | None:
    """Return what is wrong with a style that was asked for, where every sign is of another one."""
    if any(styles.of(style).files.any.search(source.text) for source in handed.sources):
        return None
    signs = ((s, kinds[s.name].style) for s in handed.sources)
    others = (
        s
        for s, sign in signs
        if sign and sign != style and styles.of(sign).files.any.search(s.text)
    )
    source = next(others, None)
    if source is None:
        return None
    return Problem(
        source.name,
        f"this was to be read as {style} style, and nothing of that style is in it: it is "
        f"{kinds[source.name].style} style ({kinds[source.name].reason})",
        span=source.span(0, 0),
        text=source.line(1)[:200],
        expected=f"{styles.of(style).files.shown}, or no --style, so that the content tells",
        fatal=True,
    )


def read(machine: Machine) -> Reading:
    """Read a machine's sources with the reader of its style, the only one that is loaded.

    Raises:
        UnreadableError: they go far beyond any machine, or nothing in them is in force.
    """
    by_name = {source.name: source for source in machine.sources}
    starts = [by_name[name] for name in machine.starts]
    reading = styles.of(machine.style).read(machine.sources, starts, machine.others)
    if not any(setting.activity in _IN_FORCE for setting in reading.settings):
        broken = "no line of it is understood"
        message = broken if reading.problems else "nothing in it is in force: all of it is comment"
        nothing = Problem(
            machine.main.name, message, expected=styles.of(machine.style).files.shown, fatal=True
        )
        raise UnreadableError((*reading.problems, nothing))
    tables = {table.file for table in reading.tables.values()}
    unused = (s.name for s in machine.others if not s.unread and s.name not in tables)
    return evolve(reading, unused=tuple(unused))


_IN_FORCE = (Activity.ACTIVE, Activity.POSSIBLE)


def _with_kin(
    group: Sequence[Source], handed: Handed, kinds: Mapping[str, FileKind]
) -> Sequence[Source]:
    """Return a style's files with those that look like none or another but end the same way.

    A file of nothing but comments, or of one long macro, may still be one that others include.
    """
    endings = {PurePosixPath(source.name).suffix for source in group} - {""}
    own = {source.name for source in group}
    return [
        source
        for source in handed.sources
        if source.name in own
        or (PurePosixPath(source.name).suffix in endings and not kinds[source.name].mistaken)
    ]


def _nothing(handed: Handed) -> Iterator[Problem]:
    """Yield why there is no machine: what was found instead."""
    expected = "#define lines, [section] lines, or G- and M-codes"
    if handed.sources:
        seen = ", ".join(source.name for source in handed.sources[:_SHOWN])
        message = f"no setting of any style was found in {seen}"
        yield Problem(handed.sources[0].name, message, expected=expected, fatal=True)
        return
    if not handed.problems:
        yield from (aside.problem for aside in handed.aside[:_SHOWN])
    if not handed.problems and not handed.aside:
        message = "there is no file in it that could be read"
        name = handed.root.name if handed.root else "input"
        yield Problem(name, message, expected=expected, fatal=True)


def _left_out(handed: Handed, kinds: Mapping[str, FileKind], used: Set[str]) -> str:
    """Return in words which files are no configuration, behind what was read."""
    names = [aside.problem.file for aside in handed.aside]
    names += [name for name, kind in kinds.items() if kind.mistaken]
    # A TOML file is wiring, words or answers, and nobody takes it for a configuration.
    names = [name for name in names if name not in used and not name.endswith(".toml")]
    return f"; left out, being no configuration: {_listed(names)}" if names else ""


def _listed(names: Sequence[str]) -> str:
    """Return some of many names."""
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return ", ".join(cut(name, 120) for name in names[:_SHOWN]) + more


def _mistaken(source: Source, kind: FileKind) -> Problem:
    return Problem(
        source.name,
        _words(kind),
        span=source.span(0, 0),
        text=source.line(1)[:200],
        expected="a firmware configuration file",
        fatal=True,
    )


def _words(kind: FileKind) -> str:
    return f"this is {kind.mistaken or 'nothing known'}, not a configuration: {kind.reason}"


def _holds_main(style: StyleName) -> Callable[[Source], bool]:
    return lambda source: styles.of(style).files.main.search(source.text) is not None


def _of_style(
    style: StyleName,
    group: Sequence[Source],
    handed: Handed,
    kinds: Mapping[str, FileKind],
    override: StyleName | None,
) -> Iterator[Machine]:
    if not group:
        return
    with_all = _with_kin(group, handed, kinds)
    one = len(group) == 1
    files = styles.of(style).files
    found = [files.starts(group[0], with_all)] if one else list(files.entries(group))
    fragments = not found
    for first in found or [tuple(group)]:
        # several machines are never read: only that there are several is told
        alone = (first, ()) if len(found) > 1 else _reached(style, first, with_all, handed, kinds)
        sources, others = alone
        # of the headers that a main one includes, only reading tells which are reached
        told = first if files.starts_tell_all else sources
        because = "you said so" if override else _counts(style, told, kinds)
        start = f"reading starts at {cut(first[0].name, 120)}"
        unused = [s.name for s in others if s.name in kinds and kinds[s.name].style == style]
        yield Machine(
            name=_title(first[0], len(found)),
            style=style,
            sources=sources,
            main=first[0],
            reason=f"{style} style ({because}); "
            + ("fragments without a main file" if fragments else start)
            + (f"; not used: {_listed(unused)}" if unused else ""),
            starts=() if fragments else tuple(source.name for source in first),
            others=others,
        )


def _reached(
    style: StyleName,
    first: Starts,
    group: Sequence[Source],
    handed: Handed,
    kinds: Mapping[str, FileKind],
) -> tuple[tuple[Source, ...], tuple[Source, ...]]:
    """Return the files that reading can reach from the first ones on, and all others.

    What was set aside is opened where an include asks for it: that decides what configuration is.

    Raises:
        UnreadableError: they are far more than the files of one machine.
    """
    closed = {aside.problem.file: aside for aside in handed.aside}
    unread = {name: aside.problem.message for name, aside in closed.items()}
    unread |= {name: _words(kind) for name, kind in kinds.items() if kind.mistaken}
    every = {source.name: source for source in handed.sources}
    every |= {name: Source(name, "", b"", unread=why) for name, why in unread.items()}
    met = {source.name: source for source in first}
    ways = styles.of(style).files
    files = ways.names(tuple(every.values()))
    if files is None:
        met |= {source.name: source for source in ways.run(first, group)}
    waiting = list(first)
    while files and waiting:
        asker = waiting.pop(0)
        for path in ways.included(asker):
            for found in files.named(path, asker):
                if found.name not in met:
                    closed_one = closed.get(found.name)
                    met[found.name] = opened(closed_one) if closed_one else found
                    waiting.append(met[found.name])
    sources = tuple(source for source in met.values() if not source.unread)
    _bounded(sources)
    others = (met.get(name, source) for name, source in every.items())
    return sources, tuple(it for it in others if it.unread or it.name not in met)


def _bounded(sources: Sequence[Source]) -> None:
    size = 0
    for count, source in enumerate(sources, 1):
        size += len(source.data)
        if count > limits.FILES or size > limits.TOTAL_BYTES:
            most = f"{limits.FILES} files or {limits.TOTAL_BYTES // 1024 // 1024} MB"
            message = (
                f"with this file there are more than {most} of configuration: nothing was read"
            )
            expected = "the files of one machine"
            problem = Problem(source.name, message, expected=expected, fatal=True)
            raise UnreadableError((problem,))


def _counts(style: StyleName, sources: Sequence[Source], kinds: Mapping[str, FileKind]) -> str:
    """Return what there is of a style in all files together."""
    found = [kinds.get(source.name) or kind_of(source) for source in sources]
    files = f" in {len(sources)} files" if len(sources) > 1 else ""
    return counted(style, found) + files


def _title(main: Source, count: int) -> str:
    path = PurePosixPath(main.name)
    if count > 1 and path.parent.name:
        return path.parent.name
    return path.stem
