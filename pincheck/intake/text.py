"""Bytes to text, every byte kept, with what is wrong about them said."""

import codecs
import re

from pincheck.model import limits
from pincheck.model.problem import Problem
from pincheck.model.source import Source, one_kind_of_line_end

_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)

_SIGNATURES = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"%PDF-", "a PDF document"),
    (b"PK\x03\x04", "a zip archive"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"BZh", "a bzip2 archive"),
    (b"\xfd7zXZ", "an xz archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"Rar!", "a rar archive"),
    (b"\x7fELF", "a compiled program"),
    (b"UF2\n", "a firmware image"),
    (b":020000", "a firmware image in hex"),
    (b"SQLite format", "a database"),
)

_REMARK = re.compile(
    r"[ \t]*+(?:;|//|#(?!\*#|[ \t]*+(?:define|undef|if(?:n?def)?|elif(?:n?def)?|else|endif"
    r"|include|error|pragma)\b))"
)
"""Begins a line that is a remark in every style that it can be of."""

_BINARY_SHARE = 0.05
_STRAY_CONTROLS = 16
_CONTROLS = bytes((*range(9), *range(0x0E, 0x1B), *range(0x1C, 0x20)))


def decode(name: str, data: bytes) -> tuple[Source | None, tuple[Problem, ...]]:
    """Return the source of a file's bytes, None where they are no text, and what was wrong.

    UTF-8, UTF-16 and UTF-32 with or without byte-order mark are decoded; any other text is
    taken for Latin-1, which keeps each byte. NUL bytes stay in the text and are reported.
    """
    if not data.strip(b"\x00 \t\r\n"):
        what = "holds nothing but NUL bytes" if data.strip() else "is empty"
        return None, (Problem(name, f"the file {what}: it was cut off or never saved", fatal=True),)
    for signature, kind in _SIGNATURES:
        if data.startswith(signature):
            return None, (Problem(name, f"this is {kind}, not a configuration", fatal=True),)
    bom, encoding = next(((b, e) for b, e in _BOMS if data.startswith(b)), (b"", ""))
    encoding = encoding or _unmarked_encoding(data)
    body = data[len(bom) :]
    problems = []
    controls = len(body) - len(body.translate(None, _CONTROLS)) if encoding == "utf-8" else 0
    if controls > max(_STRAY_CONTROLS, _BINARY_SHARE * len(body)):
        return None, (Problem(name, "this is a binary file, not a configuration", fatal=True),)
    try:
        text = body.decode(encoding)
    except UnicodeDecodeError as error:
        if encoding != "utf-8":
            message = f"the text is damaged: not {encoding.upper()} after byte {error.start}"
            return None, (Problem(name, message, fatal=True),)
        encoding, text = "latin-1", body.decode("latin-1")
        source = Source(name, text, data, encoding, bom)
        problems.append(
            Problem(
                name,
                f"byte 0x{body[error.start]:02x} is not UTF-8; the file was read as Latin-1",
                span=source.span(error.start, error.start + 1),
                text=source.line(source.span(error.start, error.start).line),
                expected="text saved as UTF-8",
            )
        )
    source = Source(name, one_kind_of_line_end(text), data, encoding, bom)
    problems.extend(_flaws(source))
    if any(problem.fatal for problem in problems):
        return None, tuple(problems)
    return source, tuple(problems)


def _unmarked_encoding(data: bytes) -> str:
    """Return UTF-16's name where every second byte of the beginning is NUL, else UTF-8's."""
    head = data[:512]
    even, odd = head[0::2], head[1::2]
    if len(odd) >= 4 and odd.count(0) > 0.8 * len(odd) and even.count(0) < 0.2 * len(even):
        return "utf-16-le"
    if len(odd) >= 4 and even.count(0) > 0.8 * len(even) and odd.count(0) < 0.2 * len(odd):
        return "utf-16-be"
    return "utf-8"


def _flaws(source: Source) -> list[Problem]:
    flaws = []
    if (at := source.text.find("\x00")) >= 0:
        count = source.text.count("\x00")
        flaws.append(
            Problem(
                source.name,
                f"the file holds {count} NUL byte{'s' * (count != 1)}: damaged storage or transfer",
                span=source.span(at, at + 1),
                text=source.line(source.span(at, at).line),
            )
        )
    if (at := _long_line(source.text)) >= 0:
        long = source.text[at:].partition("\n")[0]
        flaws.append(
            Problem(
                source.name,
                f"a line has {len(long):,} characters",
                span=source.span(at, at + 1),
                text=long[:60],
                expected=f"lines of at most {limits.LINE_CHARS:,} characters",
                fatal=True,
            )
        )
    return flaws


def _long_line(text: str) -> int:
    """Return where the first line begins that is too long and no remark, -1 without one."""
    start = 0
    while len(text) - start > limits.LINE_CHARS:
        end = text.rfind("\n", start, start + limits.LINE_CHARS + 1)
        if end < 0:
            if not _REMARK.match(text, start):
                return start
            end = text.find("\n", start)
            if end < 0:
                return -1
        start = end + 1
    return -1
