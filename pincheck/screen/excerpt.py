"""Parts of pages: the firmware's lines, a path, how a figure comes about, what an edit changes."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from pincheck.edits.patch import diff
from pincheck.model.claim import Claim
from pincheck.model.finding import Number
from pincheck.model.path import Path
from pincheck.model.printable import printable
from pincheck.model.setting import Setting
from pincheck.model.source import Source, Span
from pincheck.reports import sentences
from pincheck.reports.glyphs import Glyphs
from pincheck.screen.page import PageLine, TextRun, Tone, labelled, text

AROUND = 2
"""Lines shown before and after the firmware's line."""


def claims_lines(claims: Iterable[Claim], width: int, glyphs: Glyphs) -> Iterator[PageLine]:
    """Yield the firmware's lines with the lines around them, a mark under each value.

    Lines of one file that lie close together are shown as one piece of it.
    """
    settings: dict[str, list[Setting]] = {}
    for claim in claims:
        if claim.setting is None:
            yield from labelled("default", sentences.firmware_line(claim), width)
        else:
            settings.setdefault(claim.setting.source.name, []).append(claim.setting)
        if claim.doubt:
            yield from labelled("not sure", claim.doubt, width)
    for of_file in settings.values():
        yield from _excerpts(of_file, width, glyphs)


def _excerpts(settings: list[Setting], width: int, glyphs: Glyphs) -> Iterator[PageLine]:
    source = settings[0].source
    values = {setting.span.line: setting.value_span for setting in settings}
    shown = {
        number
        for line in values
        for number in range(line - AROUND, line + AROUND + 1)
        if 1 <= number <= source.line_count
    }
    named = ", ".join(map(str, sorted(values)))
    lines = "lines" if len(values) > 1 else "line"
    yield text(f" {printable(source.name)}, {lines} {named}", "strong")
    digits, last = len(str(max(shown))), 0
    for number in sorted(shown):
        if last and number > last + 1:
            yield text(f" {'..':>{digits + 1}} {glyphs.down}", "dim")
        yield from _source_line(source, number, values.get(number), digits, width, glyphs)
        last = number


def _source_line(
    source: Source, number: int, value: Span | None, digits: int, width: int, glyphs: Glyphs
) -> Iterator[PageLine]:
    before, shown = _cut(source.line(number), value.column if value else 1, width)
    gutter = f" {'>' if value else ' '}{number:>{digits}} {glyphs.down} "
    yield (TextRun(gutter, "dim"), TextRun(shown, "strong" if value else ""))
    if value and value.line == number and value.end > value.start:
        marks = "^" * max(1, min(value.end - value.start, len(shown) - before))
        blank = f" {' ':>{digits + 1}} {glyphs.down} "
        yield (TextRun(blank, "dim"), TextRun(" " * before + marks, "fault"))


def _cut(line: str, column: int, width: int) -> tuple[int, str]:
    """Return where `column` lands in the shown part of a line, and that part."""
    room = max(width - 12, 20)
    start = max(0, column - 1 - room // 2) if len(line) > room else 0
    return len(printable(line[start : column - 1])), printable(line[start : start + room])[:room]


def chain(path: Path, width: int, glyphs: Glyphs, tone: Tone = "") -> Iterator[PageLine]:
    """Yield a path from chip pin to part, a hop a line."""
    for number, hop in enumerate(path.hops):
        ends = number in (0, len(path.hops) - 1)
        mark = glyphs.start if number == 0 else glyphs.end if ends else glyphs.link
        rest = textwrap.wrap(printable(hop.text), max(width - 16, 12)) or [""]
        for row, part in enumerate(rest):
            link = mark if row == 0 else " " if number == len(path.hops) - 1 else glyphs.link
            kind = hop.kind if row == 0 else ""
            yield (
                TextRun(f"  {link} {kind:<10}", "dim"),
                TextRun(part, "strong" if ends else tone),
            )


def number_lines(number: Number, width: int) -> Iterator[PageLine]:
    """Yield a figure, its formula, its inputs and where each came from."""
    yield text(f" {printable(sentences.number_text(number))}", "strong")
    if number.formula:
        yield from labelled("formula", number.formula, width)
    for item in number.inputs:
        value = item.value if isinstance(item.value, str) else f"{item.value:g}"
        from_ = f", {item.origin}" if item.origin else ""
        yield from labelled("with", f"{item.name} = {value} {item.unit}".rstrip() + from_, width)
    if number.source:
        yield from labelled("source", number.source, width)


def diff_lines(before: Sequence[Source], after: Sequence[Source], width: int) -> Iterator[PageLine]:
    """Yield the difference of two states of the files, a mark and a tone for each line."""
    for line in diff(before, after):
        tone: Tone = "dim"
        if line.startswith(("+++", "---")):
            tone = "strong"
        elif line.startswith("+"):
            tone = "added"
        elif line.startswith("-"):
            tone = "removed"
        rows = textwrap.wrap(line, max(width - 3, 20), drop_whitespace=False) or [""]
        for number, row in enumerate(rows):
            yield text(("  " if number == 0 else "   ") + row, tone)
