"""What a text really is, told from its content: a style, or something sent by mistake."""

import re
from collections.abc import Iterable
from typing import Literal

from attrs import frozen

from pincheck.model.setting import Style
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
class Kind:
    """What a text is: a style or a mistaken kind, both empty where nothing decides; and why.

    `counts` are the numbers that the reason of a style gives.
    """

    style: Style | None
    mistaken: Mistaken | None
    reason: str
    score: int = 0
    counts: tuple[int, ...] = ()


# A line of any style but a bare key begins so: prose and logs, of which a folder may hold
# thousands, are told by this one expression.
_MARKED = re.compile(r"\n[ \t]*+(?:[\[#;/]|[NnGMTgmt]\d|(?:global|var|set)[ \t])")
# Each is sought in the text behind a line feed: that is many times as fast as `^` in a pattern.
_DEFINE = re.compile(
    r"\n[ \t]*+(?:/\*.*?\*/[ \t]*+)?(?://++[ \t]*+)?"
    r"#[ \t]*+(?:define|undef|ifn?def|if|elif|else|endif)\b"
)
# Blanks are never given back: a line of nothing else would be tried in every way to part them.
_HEADER = re.compile(r"\n[ \t]*+#?[ \t]*+\[[A-Za-z_][^\]\n]*\]")
_KEY = re.compile(r"\n[ \t]*+#?[A-Za-z_][\w.]*+[ \t]*+[:=](?!=)")
_SAVED = "\n#*#"
_COMMAND = re.compile(
    r"\n[ \t]*+;?[ \t]*+(?:[Nn]\d++[ \t]*+)?[GMTgmt]\d++(?:\.\d++)?+(?![^ \t;*\r\nA-Za-z\"'{])"
)
_VARIABLE = re.compile(
    r"\n[ \t]*+(?:global|var|set)[ \t]++[A-Za-z_][\w.]*+(?:\[[^\n=]*\])?[ \t]*+="
)
_COMMAND_AT_MARGIN = re.compile(_COMMAND.pattern.replace("\\n[ \\t]*+;?[ \\t]*+", "\\n;?"))
_DEFINE_UNSPACED = re.compile(_DEFINE.pattern.replace("#[ \\t]*+", "#"))
_MOVE = re.compile(r"\n[ \t]*G[01][ \t][^;\n]*[XYZ]-?[\d.]")
_EXTRUDE = re.compile(r"\n[ \t]*G1[ \t][^;\n]*E-?[\d.]")
_LINK = re.compile(r"[\w.~+-]*(?:[/\\][\w.~+ -]+)+(?:\.\w{1,5})?|[\w.-]+\.(?:cfg|h|g|conf|ini)")
_PAGE = re.compile(
    r"\s*(?:<\?xml[^>]*>\s*)?(?:<!--.*?-->\s*)?<(?:!doctype\s+html|html)\b", re.I | re.S
)
_PATCH = re.compile(r"^(?:diff --git |--- .+\n\+\+\+ .+\n@@ )", re.M)
_WIRING = re.compile(r"\n\[(?:assembly|board)\]")
_WIRED = re.compile(r"\n\[(?:boards\]|\[cables\]\]|(?:fit|nets|connectors)\.)")
_MOVES_OF_A_PRINT = 200


def kind_of(source: Source) -> Kind:
    """Return what the text of a source is."""
    text = source.text
    bare = text.strip()
    if _PAGE.match(text):
        return Kind(None, "a web page", "it begins like a web page; save the raw file instead")
    if "\n" not in bare and _LINK.fullmatch(bare):
        return Kind(None, "a link saved as text", f"its only line is a path: {bare[:60]}")
    if bare.startswith(("{", "[{")) and bare.endswith(("}", "]")) and '":' in bare:
        return Kind(None, "data in JSON", "it is one JSON document")
    if _PATCH.search(text[:4000]):
        return Kind(None, "a patch", "it holds changed lines only, not the whole file")
    lines = f"\n{text}"
    if not _MARKED.search(lines):
        return _unmarked(lines)
    if _WIRING.search(lines) and _WIRED.search(lines):
        return Kind(None, "a wiring file", "it describes a board or an assembly; --wiring takes it")
    headers, saved = len(_HEADER.findall(lines)), lines.count(_SAVED)
    keys = len(_KEY.findall(lines)) if headers or saved else 0
    # Among [section] lines, indented commands are a macro's and "# if ..." is prose.
    commands = len((_COMMAND_AT_MARGIN if headers else _COMMAND).findall(lines))
    defines = len((_DEFINE_UNSPACED if headers else _DEFINE).findall(lines))
    variables = len(_VARIABLE.findall(lines))
    moves = len(_MOVE.findall(lines))
    if (
        moves > _MOVES_OF_A_PRINT
        and len(_EXTRUDE.findall(lines)) > moves // 4
        and commands > 4 * (headers + defines)
    ):
        return Kind(None, "a slicer's output", f"it prints: {moves} moves, most of them extruding")
    scores: dict[Style, int] = {
        "define": 3 * defines,
        "section": 3 * headers + 2 * saved + keys,
        "gcode": 2 * (commands + variables),
    }
    style = max(scores, key=lambda name: scores[name])
    counts: dict[Style, tuple[int, ...]] = {
        "define": (defines,),
        "section": (headers, keys),
        "gcode": (commands, variables),
    }
    if scores[style] > 0:
        words = _in_words(style, counts[style])
        return Kind(style, None, words, scores[style], counts[style])
    return _unmarked(lines)


def _in_words(style: Style, counts: tuple[int, ...]) -> str:
    if style == "define":
        return f"{counts[0]} preprocessor lines"
    if style == "section":
        return f"{counts[0]} [section] lines, {counts[1]} keys"
    return f"{counts[0]} G- and M-codes" if counts[0] else f"{counts[1]} variables"


def counted(style: Style, kinds: Iterable[Kind]) -> str:
    """Return in words what several texts hold of a style together."""
    mine = [kind.counts for kind in kinds if kind.style == style and kind.counts]
    return _in_words(style, tuple(map(sum, zip(*mine, strict=True))) or (0, 0))


def _unmarked(lines: str) -> Kind:
    """Return what a text is in which nothing but keys can be of any style."""
    keys = len(_KEY.findall(lines))
    if keys and keys * 3 >= sum(1 for line in lines.splitlines() if line.strip()):
        return Kind("section", None, f"{keys} keys without a [section] line", keys, (0, keys))
    return Kind(
        None, "prose" if len(lines.split(None, 6)) > 5 else None, "no setting of any style in it"
    )
