"""Which files of each style the firmware reads first, and what those ask for."""

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from posixpath import basename, dirname, join, normpath
from typing import Protocol

from pincheck.model.setting import Style
from pincheck.model.source import Source

CONVENTIONAL = frozenset(
    ("printer.cfg", "configuration.h", "configuration_adv.h", "pins.h", "boards.h", "config.g")
)
"""Names of the files that firmware reads first, in lower case."""

Starts = tuple[Source, ...]
"""The files of one machine where reading starts, in their order; the first is its main one."""


class Names(Protocol):
    """Finds files by the paths that includes give."""

    def named(self, path: str, asked_by: Source) -> tuple[Source, ...]:
        """Return the files that a path means."""
        ...


_BOARD = re.compile(r"^[ \t]*#[ \t]*define[ \t]+MOTHERBOARD\b", re.M)
_SENSOR = re.compile(r"^[ \t]*#[ \t]*define[ \t]+TEMP_SENSOR_0\b", re.M)
_COMPANION = re.compile(r"\bEXTRUDER_AUTO_FAN_TEMPERATURE\b|\bTHERMAL_PROTECTION_PERIOD\b")
_BACKUP = re.compile(
    r"~$|\.(?:bak|old|orig|save)\b|\bcopy\b|[-_.]\d{8}(?:[-_]\d{4,6})?\b|\bbackup\b"
    r"|[-_](?:stock|original|orig|old|bak|backup|default)\b",
    re.I,
)
_PINS = re.compile(r"^pins(?:_\w+)?\.h(?:pp)?$", re.I)
_NAMED = re.compile(r"^[ \t]*#[ \t]*define[ \t]+MOTHERBOARD[ \t]+(?:BOARD_)?(\w+)", re.M)


def _section(sources: Sequence[Source]) -> Iterator[Starts]:
    from pincheck.readers import section

    return ((main,) for main in section.main_files(sources))


def _gcode(sources: Sequence[Source]) -> Iterator[Starts]:
    from pincheck.readers import gcode

    likely = gcode.main_files(sources)
    folders = {dirname(source.name) for source in likely}
    return ((main,) for main in likely if len(likely) == len(folders))


def _define(sources: Sequence[Source]) -> Iterator[Starts]:
    """Yield the main header of every machine with its companion and its board's pins.

    Headers of a deeper folder below a main one are the firmware's examples.
    """
    fresh = [s for s in sources if not _BACKUP.search(basename(s.name))] or sources
    mains = [s for s in fresh if not _PINS.match(basename(s.name)) and _main_rank(s) > _NONE]
    by_folder = groupby(sorted(mains, key=_place), key=_place)
    found: list[Source] = []
    for _, beside in by_folder:
        best = max(beside, key=_main_rank)
        if not any(_is_below(best, above) for above in found):
            found.append(best)
    with_board = [source for source in found if _BOARD.search(source.text)]
    for main in with_board or found[:1]:
        yield define_starts(main, fresh)


def _place(source: Source) -> tuple[int, str]:
    return source.name.count("/"), dirname(source.name)


def _is_below(source: Source, main: Source) -> bool:
    folder = dirname(main.name)
    return not folder or dirname(source.name).startswith(f"{folder}/")


_NONE = (False, False, 0)


def _main_rank(source: Source) -> tuple[bool, bool, int]:
    """Return how much a header looks like the main one; all false where it is none."""
    board = _BOARD.search(source.text) is not None
    keys = len(_BOARD.findall(source.text)) + len(_SENSOR.findall(source.text))
    named = basename(source.name).lower() == "configuration.h"
    return named and keys > 0, board, keys


def define_starts(main: Source, headers: Sequence[Source]) -> Starts:
    """Return a main header, its companion and the pins of its board, as the firmware reads them.

    The boards' numbers come first where a header gives them; nothing else includes these.
    """
    near = [s for s in headers if s is not main and not _BACKUP.search(basename(s.name))]
    stem, _, ending = main.name.rpartition(".")
    adv = [s for s in near if s.name == f"{stem}_adv.{ending}"] or [
        s
        for s in near
        if dirname(s.name) == dirname(main.name)
        and not _PINS.match(basename(s.name))
        and _COMPANION.search(s.text)
        and not _BOARD.search(s.text)
    ]
    boards = _nearest(main, [s for s in near if basename(s.name).lower() == "boards.h"])
    return (main, *adv[:1], *boards, *_pins_of(main, near))


def _pins_of(main: Source, headers: Sequence[Source]) -> list[Source]:
    """Return the header that leads to the board's pins, else the only one, or that of its name."""
    if leading := _nearest(main, [s for s in headers if basename(s.name).lower() == "pins.h"]):
        return leading
    pins = [s for s in headers if _PINS.match(basename(s.name))]
    board = _NAMED.search(main.text)
    called = f"pins_{board[1]}.h".lower() if board else ""
    return [s for s in pins if len(pins) == 1 or basename(s.name).lower() == called][:1]


def _nearest(main: Source, headers: Sequence[Source]) -> list[Source]:
    """Return the one that lies nearest to the main header, none where there is none."""
    return sorted(headers, key=lambda s: (dirname(s.name) != dirname(main.name), _place(s)))[:1]


ENTRIES: dict[Style, Callable[[Sequence[Source]], Iterator[Starts]]] = {
    "define": _define,
    "section": _section,
    "gcode": _gcode,
}
"""The machines among the files of one style."""


def starts(style: Style, main: Source, sources: Sequence[Source]) -> Starts:
    """Return where reading starts with a given main file."""
    return define_starts(main, sources) if style == "define" else (main,)


def names(style: Style, sources: Sequence[Source]) -> Names | None:
    """Return what finds the files that a style's includes mean; None where a run of the scripts
    alone can tell which they are."""
    if style == "define":
        from pincheck.readers import define

        return define.Files(sources)
    if style == "section":
        from pincheck.readers import section

        return section.Files(sources)
    return None


def included(style: Style, source: Source) -> Iterator[str]:
    """Yield the paths that a file's includes give, whatever the conditions around them."""
    if style == "define":
        from pincheck.readers import define

        yield from define.includes(source)
    if style == "section":
        from pincheck.readers import section

        yield from section.includes(source)


def asked(style: Style, source: Source) -> Iterator[str]:
    """Yield patterns of the names, on the disk, that a single file can bring along."""
    beside = dirname(source.name)
    paths = list(included(style, source))
    if style == "define":
        paths += [basename(path) for path in paths]
        if _main_rank(source) > _NONE:
            stem, _, ending = basename(source.name).rpartition(".")
            paths += (f"{stem}_adv.{ending}", *_WITH_A_MAIN_HEADER)
    if style == "gcode":
        paths += ("*.g", "*/*.g")
    yield from (normpath(join(beside, path)) for path in paths)


_WITH_A_MAIN_HEADER = (
    "boards.h",
    "src/core/boards.h",
    "pins.h",
    "pins_*.h",
    "src/pins/pins.h",
    "thermistor_*.h",
)
