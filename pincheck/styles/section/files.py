"""Section style: one file with the machine's own sections, which includes the others."""

import re
from collections.abc import Iterator, Sequence

from pincheck.model.source import Source
from pincheck.styles.files import Counts, Files, Names, Starts

# Blanks are never given back: a line of nothing else would be tried in every way to part them.
_HEADER = re.compile(r"\n[ \t]*+#?[ \t]*+\[[A-Za-z_][^\]\n]*\]")
_KEY = re.compile(r"\n[ \t]*+#?[A-Za-z_][\w.]*+[ \t]*+[:=](?!=)")
_SAVED = "\n#*#"


class SectionFiles(Files):
    """See `Files`."""

    __slots__ = ()
    shown = "[section] lines with keys"
    begins = r"[\[#;]"
    any = re.compile(r"^(?:#\*#[ \t]*)?\[[^\]\n]+\]", re.M)
    main = re.compile(r"^\[[ \t]*(?:printer|mcu|extruder)[ \t]*\]", re.M)
    conventional = frozenset(("printer.cfg",))

    def counts(self, lines: str, among_sections: bool) -> Counts:
        """Count headers, keys and lines of the saved block; without the others, keys are prose."""
        del among_sections
        headers, saved = len(_HEADER.findall(lines)), lines.count(_SAVED)
        return headers, len(_KEY.findall(lines)) if headers or saved else 0, saved

    def score(self, counts: Counts) -> int:
        headers, keys, *saved = counts
        return 3 * headers + keys + 2 * sum(saved)

    def words(self, counts: Counts) -> str:
        return f"{counts[0]} [section] lines, {counts[1]} keys"

    def has_sections(self, lines: str) -> bool:
        return _HEADER.search(lines) is not None

    def bare(self, lines: str) -> tuple[Counts, str] | None:
        keys = len(_KEY.findall(lines))
        filled = sum(1 for line in lines.splitlines() if line.strip())
        if not keys or keys * 3 < filled:
            return None
        return (0, keys), f"{keys} keys without a [section] line"

    def entries(self, sources: Sequence[Source]) -> Iterator[Starts]:
        from pincheck.readers import section

        return ((main,) for main in section.main_files(sources))

    def names(self, sources: Sequence[Source]) -> Names:
        from pincheck.readers import section

        return section.IncludeFiles(sources)

    def included(self, source: Source) -> Iterator[str]:
        from pincheck.readers import section

        return section.includes(source)
