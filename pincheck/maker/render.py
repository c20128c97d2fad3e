"""Lines of a reference configuration to the text of its files, comments included."""

import textwrap
from collections.abc import Iterable, Iterator

from pincheck.maker.draw_up import FILES, Line, plain
from pincheck.model.printable import printable
from pincheck.model.setting import Style
from pincheck.model.source import Source

_MARK: dict[Style, str] = {"define": "//", "section": "#", "gcode": ";"}
_WIDTH = 88
_COMMENT_AT = 44


def rendered(style: Style, lines: Iterable[Line], head: Iterable[str]) -> tuple[Source, ...]:
    """Return the files, the main one first, every line ending with a line feed."""
    lines, head = tuple(lines), tuple(head)
    return tuple(
        Source.of_text(file, "".join(f"{text}\n" for text in _file(style, file, lines, head)))
        for file in FILES[style]
        if any(line.file == file for line in lines)
    )


def _file(style: Style, file: str, lines: tuple[Line, ...], head: tuple[str, ...]) -> Iterator[str]:
    for sentence in head:
        yield from _comment(style, sentence)
    own = [line for line in lines if line.file == file]
    if style == "define":
        yield "#pragma once"
        yield from _defines(own)
    elif style == "section":
        yield from _sections(own)
    else:
        yield from _commands(own)


def _plain(sentence: str) -> str:
    """Return text for a comment; a backslash at its end would swallow the next line in C."""
    return printable(sentence).replace("\\", "/")


def _comment(style: Style, sentence: str) -> Iterator[str]:
    mark = f"{_MARK[style]} "
    yield from textwrap.wrap(_plain(sentence), _WIDTH, initial_indent=mark, subsequent_indent=mark)


def _why(line: Line) -> str:
    return _plain("; ".join(dict.fromkeys(filter(None, line.whys))))


def _beside(style: Style, text: str, why: str) -> str:
    return f"{text:<{_COMMENT_AT}} {_MARK[style]} {why}" if why else text


def _defines(lines: list[Line]) -> Iterator[str]:
    for line in lines:
        if line.key:
            yield _beside("define", next(plain("define", [line])), _why(line))
        else:
            yield ""
            yield f"// {_why(line)}"


def _sections(lines: list[Line]) -> Iterator[str]:
    for name in dict.fromkeys(line.section for line in lines):
        yield ""
        yield f"[{name}]"
        for line in lines:
            if line.section == name and line.key:
                yield _beside("section", f"{line.key}: {line.text}", _why(line))


def _commands(lines: list[Line]) -> Iterator[str]:
    for name in dict.fromkeys(line.section for line in lines):
        own = [line for line in lines if line.section == name]
        whys = dict.fromkeys(_why(line) for line in own if _why(line))
        yield ""
        yield from _comment("gcode", "; ".join(whys))
        yield from plain("gcode", own)
