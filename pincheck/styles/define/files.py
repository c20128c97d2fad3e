"""Define style: a main header, its companion and the pins of its board."""

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from posixpath import basename, dirname

from pincheck.model.source import Source
from pincheck.styles.files import Counts, Files, Names, Starts

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
_LINE = re.compile(
    r"\n[ \t]*+(?:/\*.*?\*/[ \t]*+)?(?://++[ \t]*+)?"
    r"#[ \t]*+(?:define|undef|ifn?def|if|elif|else|endif)\b"
)
_UNSPACED = re.compile(_LINE.pattern.replace("#[ \\t]*+", "#"))
_WITH_A_MAIN_HEADER = (
    "boards.h",
    "src/core/boards.h",
    "pins.h",
    "pins_*.h",
    "src/pins/pins.h",
)
_TABLE = re.compile(r"\btemptable_\d++\s*+\[")
_SELECTED = re.compile(r"TEMP_SENSOR_\w++[ \t]++(\d{1,5})\b")
_OF_TABLES = ("", "thermistor/", "src/module/thermistor/")
"""Folders of the firmware's own sensor tables, beside the main header."""


class DefineFiles(Files):
    """See `Files`."""

    __slots__ = ()
    shown = "#define lines"
    begins = r"[#/]"
    any = re.compile(r"^[ \t]*(?://[ \t]*)?#[ \t]*(?:define|undef|if|include)", re.M)
    main = re.compile(r"^[ \t]*#[ \t]*define[ \t]+(?:MOTHERBOARD|TEMP_SENSOR_0)\b", re.M)
    conventional = frozenset(("configuration.h", "configuration_adv.h", "pins.h", "boards.h"))
    starts_tell_all = True

    def counts(self, lines: str, among_sections: bool) -> Counts:
        """Count the directives; among [section] lines, "# if ..." is prose."""
        return (len((_UNSPACED if among_sections else _LINE).findall(lines)),)

    def score(self, counts: Counts) -> int:
        return 3 * counts[0]

    def words(self, counts: Counts) -> str:
        return f"{counts[0]} preprocessor lines"

    def entries(self, sources: Sequence[Source]) -> Iterator[Starts]:
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
            yield self.starts(main, fresh)

    def starts(self, main: Source, sources: Sequence[Source]) -> Starts:
        """Return a main header, its companion and its board's pins, as the firmware reads them.

        The boards' numbers come first where a header gives them; nothing else includes these.
        """
        near = [s for s in sources if s is not main and not _BACKUP.search(basename(s.name))]
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

    def names(self, sources: Sequence[Source]) -> Names:
        from pincheck.readers import define

        return define.HeaderFiles(sources)

    def included(self, source: Source) -> Iterator[str]:
        """Yield what a header includes, and the sensor tables that the firmware then includes."""
        from pincheck.readers import define

        yield from define.includes(source)
        for number in sorted(set(_SELECTED.findall(source.text))):
            yield from (f"{folder}thermistor_{number}.h" for folder in _OF_TABLES)

    def bare(self, lines: str) -> tuple[Counts, str] | None:
        return ((0,), "a sensor's table") if _TABLE.search(lines) else None

    def beside(self, source: Source, paths: Sequence[str]) -> Iterator[str]:
        yield from [basename(path) for path in paths]
        if _main_rank(source) > _NONE:
            stem, _, ending = basename(source.name).rpartition(".")
            yield from (f"{stem}_adv.{ending}", *_WITH_A_MAIN_HEADER)


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
