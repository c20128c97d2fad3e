"""Gcode style: one script that runs at start-up and calls the others."""

import re
from collections.abc import Iterator, Sequence
from posixpath import dirname

from pincheck.model import limits
from pincheck.model.source import Source
from pincheck.styles.files import Counts, Files, Starts

_COMMAND = re.compile(
    r"\n[ \t]*+;?[ \t]*+(?:[Nn]\d++[ \t]*+)?[GMTgmt]\d++(?:\.\d++)?+(?![^ \t;*\r\nA-Za-z\"'{])"
)
_AT_MARGIN = re.compile(_COMMAND.pattern.replace("\\n[ \\t]*+;?[ \\t]*+", "\\n;?"))
_VARIABLE = re.compile(
    r"\n[ \t]*+(?:global|var|set)[ \t]++[A-Za-z_][\w.]*+(?:\[[^\n=]*\])?[ \t]*+="
)
_MOVE = re.compile(r"\n[ \t]*G[01][ \t][^;\n]*[XYZ]-?[\d.]")
_EXTRUDE = re.compile(r"\n[ \t]*G1[ \t][^;\n]*E-?[\d.]")
_MOVES_OF_A_PRINT = 200


class GcodeFiles(Files):
    """See `Files`."""

    __slots__ = ()
    shown = "G- and M-codes"
    begins = r"[;]|[NnGMTgmt]\d|(?:global|var|set)[ \t]"
    # Behind blanks they may be a macro's in a file of the section style.
    any = re.compile(r"^(?:(?:N\d+[ \t]*)?[GMT]\d|(?:var|global)[ \t])", re.M | re.I)
    main = re.compile(r"^[ \t]*(?:M950|M308|M305|M563|M584|M569|M906|M143|M307)\b", re.M | re.I)
    conventional = frozenset(("config.g",))

    def counts(self, lines: str, among_sections: bool) -> Counts:
        """Count commands and variables; among [section] lines, indented ones are a macro's."""
        commands = (_AT_MARGIN if among_sections else _COMMAND).findall(lines)
        return len(commands), len(_VARIABLE.findall(lines))

    def words(self, counts: Counts) -> str:
        return f"{counts[0]} G- and M-codes" if counts[0] else f"{counts[1]} variables"

    def output(self, lines: str, counts: Counts, of_others: int) -> str:
        moves = len(_MOVE.findall(lines))
        extrudes = moves > _MOVES_OF_A_PRINT and len(_EXTRUDE.findall(lines)) > moves // 4
        prints = extrudes and counts[0] > 4 * of_others
        return f"it prints: {moves} moves, most of them extruding" if prints else ""

    def entries(self, sources: Sequence[Source]) -> Iterator[Starts]:
        from pincheck.readers import gcode

        likely = gcode.main_files(sources)
        folders = {dirname(source.name) for source in likely}
        return ((main,) for main in likely if len(likely) == len(folders))

    def run(self, first: Starts, group: Sequence[Source]) -> Sequence[Source]:
        """Leave a pack of macros out that nothing calls: it is no reason to refuse a machine."""
        size = sum(len(source.data) for source in group)
        if len(group) <= limits.FILES and size <= limits.TOTAL_BYTES:
            return group
        from pincheck.readers.gcode.files import mentioned

        return mentioned(first, group)

    def beside(self, source: Source, paths: Sequence[str]) -> Iterator[str]:
        del source, paths
        yield from ("*.g", "*/*.g")
