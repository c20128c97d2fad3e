"""What a text really is, told from its content: a style, or something sent by mistake."""

import re
from collections.abc import Iterable
from functools import cache
from typing import Literal

from pincheck import styles
from pincheck.model.frozen import frozen
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.source import Source

Mistaken = Literal[
    "a web page",
    "a link saved as text",
    "a slicer's output",
    "prose",
    "data in JSON",
    "a patch",
    "a wiring file",
]


@frozen
class FileKind:
    """What a text is: a style or a mistaken kind, both empty where nothing decides; and why.

    `counts` are the numbers that the reason of a style gives.
    """

    style: StyleName | None
    mistaken: Mistaken | None
    reason: str
    score: int = 0
    counts: tuple[int, ...] = ()


_LINK = re.compile(r"[\w.~+-]*(?:[/\\][\w.~+ -]+)+(?:\.\w{1,5})?|[\w.-]+\.(?:cfg|h|g|conf|ini)")
_PAGE = re.compile(
    r"\s*(?:<\?xml[^>]*>\s*)?(?:<!--.*?-->\s*)?<(?:!doctype\s+html|html)\b", re.I | re.S
)
_PATCH = re.compile(r"^(?:diff --git |--- .+\n\+\+\+ .+\n@@ )", re.M)
_WIRING = re.compile(r"\n\[(?:assembly|board)\]")
_WIRED = re.compile(r"\n\[(?:boards\]|\[cables\]\]|(?:fit|nets|connectors)\.)")


@cache
def _marked(names: tuple[StyleName, ...]) -> re.Pattern[str]:
    """Return how a line of any of the styles but a bare key begins."""
    return re.compile(rf"\n[ \t]*+(?:{'|'.join(styles.of(name).files.begins for name in names)})")


def kind_of(source: Source) -> FileKind:
    """Return what the text of a source is."""
    text = source.text
    bare = text.strip()
    if _PAGE.match(text):
        return FileKind(None, "a web page", "it begins like a web page; save the raw file instead")
    if "\n" not in bare and _LINK.fullmatch(bare):
        return FileKind(None, "a link saved as text", f"its only line is a path: {bare[:60]}")
    if bare.startswith(("{", "[{")) and bare.endswith(("}", "]")) and '":' in bare:
        return FileKind(None, "data in JSON", "it is one JSON document")
    if _PATCH.search(text[:4000]):
        return FileKind(None, "a patch", "it holds changed lines only, not the whole file")
    lines = f"\n{text}"
    if not _marked(tuple(STYLES)).search(lines):
        return _unmarked(lines)
    if _WIRING.search(lines) and _WIRED.search(lines):
        return FileKind(
            None, "a wiring file", "it describes a board or an assembly; --wiring takes it"
        )
    signs = {name: styles.of(name).files for name in STYLES}
    among_sections = any(files.has_sections(lines) for files in signs.values())
    counts = {name: files.counts(lines, among_sections) for name, files in signs.items()}
    firsts = sum(found[0] for found in counts.values())
    for name, files in signs.items():
        if output := files.output(lines, counts[name], firsts - counts[name][0]):
            return FileKind(None, "a slicer's output", output)
    style = max(STYLES, key=lambda name: signs[name].score(counts[name]))
    score = signs[style].score(counts[style])
    if score > 0:
        return FileKind(style, None, signs[style].words(counts[style]), score, counts[style])
    return _unmarked(lines)


def counted(style: StyleName, kinds: Iterable[FileKind]) -> str:
    """Return in words what several texts hold of a style together."""
    mine = [kind.counts for kind in kinds if kind.style == style and kind.counts]
    return styles.of(style).files.words(tuple(map(sum, zip(*mine, strict=False))) or (0, 0))


def _unmarked(lines: str) -> FileKind:
    """Return what a text is in which nothing but keys can be of any style."""
    for name in STYLES:
        files = styles.of(name).files
        if found := files.bare(lines):
            counts, words = found
            return FileKind(name, None, words, files.score(counts), counts)
    return FileKind(
        None, "prose" if len(lines.split(None, 6)) > 5 else None, "no setting of any style in it"
    )


def is_conventional(name: str) -> bool:
    """Tell whether a file has one of the names that firmware reads first."""
    base = name.rpartition("/")[2].lower()
    return any(base in styles.of(style).files.conventional for style in STYLES)
