"""Sources sorted into machines: which style, which main file, which order, and why."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path, PurePosixPath

from attrs import evolve, field, frozen

from pincheck import styles
from pincheck.intake.gather import Handed
from pincheck.intake.kinds import Kind, kind_of, names_board
from pincheck.model.problem import Problem
from pincheck.model.reading import Reading
from pincheck.model.setting import STYLES, Style
from pincheck.model.source import Source


@frozen
class Machine:
    """The configuration of one machine: sources in reading order, and the main one.

    `reason` says why this style and this main file, in words. `fragments` means that no file is
    the main one: all are read, `main` is the first. `root` is the folder that the
    names of the sources are relative to, None where nothing can be written back. `problems` are
    those of taking the files in, before any reader saw them.
    """

    name: str
    style: Style
    sources: tuple[Source, ...] = field(repr=False)
    main: Source = field(repr=False)
    reason: str
    fragments: bool = False
    root: Path | None = None
    problems: tuple[Problem, ...] = ()


_MAIN: dict[Style, re.Pattern[str]] = {
    "define": re.compile(r"^[ \t]*#[ \t]*define[ \t]+(?:MOTHERBOARD|TEMP_SENSOR_0)\b", re.M),
    "section": re.compile(r"^\[[ \t]*(?:printer|mcu|extruder)[ \t]*\]", re.M),
    "gcode": re.compile(r"^[ \t]*(?:M950|M308|M305|M563|M584|M569|M906|M143|M307)\b", re.M | re.I),
}
"""What a main file holds and a fragment seldom does."""

_ANY: dict[Style, re.Pattern[str]] = {
    "define": re.compile(r"^[ \t]*(?://[ \t]*)?#[ \t]*(?:define|undef|if|include)", re.M),
    "section": re.compile(r"^(?:#\*#[ \t]*)?\[[^\]\n]+\]", re.M),
    # Behind blanks they may be a macro's in a file of the section style.
    "gcode": re.compile(r"^(?:(?:N\d+[ \t]*)?[GMT]\d|(?:var|global)[ \t])", re.M | re.I),
}
"""What a file has at least that is of a style at all."""

_SHOWS: dict[Style, str] = {
    "define": "#define lines",
    "section": "[section] lines with keys",
    "gcode": "G- and M-codes",
}

_OWN_HEADERS = 20
"""Headers in deeper folders that may be a machine's own: more are the firmware's source."""

_SHOWN = 5
"""Files named that are no configuration."""

_BACKUP = re.compile(
    r"~$|\.(?:bak|old|orig|save)\b|\bcopy\b|[-_.]\d{8}(?:[-_]\d{4,6})?\b|\bbackup\b", re.I
)
_HEADER_ORDER = (
    re.compile(r"\bMOTHERBOARD\b"),
    re.compile(r"\bEXTRUDER_AUTO_FAN_TEMPERATURE\b|\bTHERMAL_PROTECTION_PERIOD\b"),
)


def machines(
    handed: Handed, style: Style | None = None
) -> tuple[tuple[Machine, ...], tuple[Problem, ...]]:
    """Return the machines among what was handed over, and what is in the way.

    `style` overrides the recognition by content. Several machines are all returned; choosing is
    the caller's matter.
    """
    kinds = {source.name: kind_of(source) for source in handed.sources}
    if style and (other := _all_of_another(style, handed, kinds)):
        return (), (*handed.problems, other)
    by_style: dict[Style, list[Source]] = {}
    problems: list[Problem] = []
    for source in handed.sources:
        kind = kinds[source.name]
        if chosen := style or kind.style:
            by_style.setdefault(chosen, []).append(source)
        elif kind.mistaken:
            problems.append(_mistaken(source, kind))
    with_main = {s: group for s, group in by_style.items() if any(map(_holds_main(s), group))}
    groups = {s: _with_kin(group, handed, kinds) for s, group in (with_main or by_style).items()}
    found = tuple(
        machine
        for chosen in STYLES
        for machine in _of_style(chosen, groups.get(chosen, []), kinds, style)
    )
    if found and len(handed.sources) > 1:
        problems = [p for p in problems if p.fatal and p.file in kinds and _asked_for(p, found)]
    if not found and not problems:
        problems += _nothing(handed)
    left = _left_out(handed, kinds)
    mine = tuple(
        evolve(m, root=handed.root, problems=handed.problems, reason=m.reason + left) for m in found
    )
    return mine, (*handed.problems, *problems)


def _all_of_another(style: Style, handed: Handed, kinds: Mapping[str, Kind]) -> Problem | None:
    """Return what is wrong with a style that was asked for, where every sign is of another one."""
    if any(_ANY[style].search(source.text) for source in handed.sources):
        return None
    signs = ((s, kinds[s.name].style) for s in handed.sources)
    others = (s for s, sign in signs if sign and sign != style and _ANY[sign].search(s.text))
    source = next(others, None)
    if source is None:
        return None
    return Problem(
        source.name,
        f"this was to be read as {style} style, and nothing of that style is in it: it is "
        f"{kinds[source.name].style} style ({kinds[source.name].reason})",
        span=source.span(0, 0),
        text=source.line(1)[:200],
        expected=f"{_SHOWS[style]}, or no --style, so that the content tells",
        fatal=True,
    )


def read(machine: Machine) -> Reading:
    """Read a machine's sources with the reader of its style, the only one that is loaded."""
    main = None if machine.fragments else machine.main
    return styles.of(machine.style).read(machine.sources, main)


def _with_kin(
    group: Sequence[Source], handed: Handed, kinds: Mapping[str, Kind]
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
    yield from handed.passed_over[:_SHOWN]
    if not handed.problems and not handed.passed_over:
        message = "there is no file in it that could be read"
        name = handed.root.name if handed.root else "input"
        yield Problem(name, message, expected=expected, fatal=True)


def _left_out(handed: Handed, kinds: Mapping[str, Kind]) -> str:
    """Return in words which files are no configuration, behind what was read."""
    names = [problem.file for problem in handed.passed_over]
    names += [name for name, kind in kinds.items() if kind.mistaken]
    if not names:
        return ""
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return f"; left out, being no configuration: {', '.join(names[:_SHOWN])}{more}"


def _mistaken(source: Source, kind: Kind) -> Problem:
    return Problem(
        source.name,
        f"this is {kind.mistaken}, not a configuration: {kind.reason}",
        span=source.span(0, 0),
        text=source.line(1)[:200],
        expected="a firmware configuration file",
        fatal=True,
    )


def _asked_for(problem: Problem, found: Iterable[Machine]) -> bool:
    """Tell whether a machine's main file names the file that turned out to be something else."""
    name = PurePosixPath(problem.file).name
    return any(name in machine.main.text for machine in found)


def _holds_main(style: Style) -> Callable[[Source], bool]:
    return lambda source: _MAIN[style].search(source.text) is not None


def _of_style(
    style: Style, sources: Sequence[Source], kinds: dict[str, Kind], override: Style | None
) -> Iterator[Machine]:
    if not sources:
        return
    mains = _mains(style, sources)
    for main in mains or sources[:1]:
        mine = sources
        if style == "define":
            mine = _beside(main, sources if len(mains) <= 1 else _below(main, sources))
        because = "you said so" if override else kinds[main.name].reason
        start = f"reading starts at {main.name}" if mains else "fragments without a main file"
        if len(mains) == 1 and (apart := len(sources) - len(mine)):
            start += f"; left out, being the firmware's own source: {apart} headers below it"
        yield Machine(
            name=_title(main, len(mains)),
            style=style,
            sources=_ordered(style, mine, main),
            main=main,
            reason=f"{style} style ({because}); {start}",
            fragments=not mains,
        )


def _mains(style: Style, sources: Sequence[Source]) -> Sequence[Source]:
    """Return the files where reading starts, one for every machine; none for mere fragments."""
    if len(sources) == 1:
        return sources
    if style == "section":
        from pincheck.readers import section

        return section.main_files(sources)
    if style == "gcode":
        from pincheck.readers import gcode

        likely = gcode.main_files(sources)
        folders = {PurePosixPath(source.name).parent for source in likely}
        return likely if len(likely) == len(folders) else ()
    return _main_headers(sources)


def _main_headers(sources: Sequence[Source]) -> Sequence[Source]:
    """Return the fullest main header of every folder that has one."""
    mains = [s for s in sources if _holds_main("define")(s)]
    fresh = [s for s in mains if not _BACKUP.search(PurePosixPath(s.name).name)] or mains
    best: dict[PurePosixPath, Source] = {}
    for source in fresh:
        folder = PurePosixPath(source.name).parent
        if folder not in best or _weight(source) > _weight(best[folder]):
            best[folder] = source
    with_board = [s for s in best.values() if "MOTHERBOARD" in s.text]
    return with_board or list(best.values())[:1]


def _weight(source: Source) -> tuple[bool, int]:
    return names_board(source), len(_MAIN["define"].findall(source.text))


def _below(main: Source, sources: Sequence[Source]) -> list[Source]:
    folder = PurePosixPath(main.name).parent
    return [s for s in sources if PurePosixPath(s.name).is_relative_to(folder)]


def _beside(main: Source, sources: Sequence[Source]) -> Sequence[Source]:
    """Return the headers without those of a firmware's whole source around the main one."""
    folder = PurePosixPath(main.name).parent
    beside = [s for s in sources if PurePosixPath(s.name).parent == folder]
    return beside if len(sources) - len(beside) > _OWN_HEADERS else sources


def _ordered(style: Style, sources: Sequence[Source], main: Source) -> tuple[Source, ...]:
    """Put headers in the order in which the firmware sees them: main, advanced, pins."""
    if style != "define":
        return (main, *(s for s in sources if s is not main))

    def rank(source: Source) -> int:
        if source is main:
            return -1
        hits = (n for n, sign in enumerate(_HEADER_ORDER) if sign.search(source.text))
        return next(hits, len(_HEADER_ORDER))

    fresh = [s for s in sources if s is main or not _BACKUP.search(PurePosixPath(s.name).name)]
    return tuple(sorted(fresh, key=rank))


def _title(main: Source, count: int) -> str:
    path = PurePosixPath(main.name)
    if count > 1 and path.parent.name:
        return path.parent.name
    return path.stem
