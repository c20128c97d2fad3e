"""One text file as it was handed over, and exact places in it."""

import re
from bisect import bisect_right
from functools import cached_property

from pincheck.model.frozen import frozen

_ALONE = re.compile(r"\r(?!\n)")


def one_kind_of_line_end(text: str) -> str:
    """Return a text with a line feed for each carriage return that no line feed follows."""
    return _ALONE.sub("\n", text) if "\r" in text else text


@frozen
class Span:
    """A stretch of one file.

    `line` and `column` count from 1 and in characters; `start` and `end` are character
    offsets into `Source.text`, end exclusive.
    """

    source: str
    line: int
    column: int
    start: int
    end: int

    def __str__(self) -> str:
        return f"{self.source}:{self.line}:{self.column}"


@frozen(slots=False)
class Source:
    """A file's bytes and their text.

    `name` is relative to what was handed over, with forward slashes. `text` holds no byte-order
    mark, and a line feed for each carriage return that ends a line alone; `raw` is the same as it
    is in the file: `bom` + `raw` encoded with `encoding` gives `data` back.
    `unread` says why a file that is there could not be taken in; it has no text then.
    """

    name: str
    text: str
    data: bytes
    encoding: str = "utf-8"
    bom: bytes = b""
    unread: str = ""

    @classmethod
    def of_text(cls, name: str, text: str) -> "Source":
        """Return a UTF-8 source with this text, for text that never was a file."""
        return cls(name=name, text=text, data=text.encode("utf-8", "surrogatepass"))

    @property
    def raw(self) -> str:
        """The text with the line ends of the file, as long as `text`."""
        return self.data[len(self.bom) :].decode(self.encoding, "surrogatepass")

    def with_raw(self, raw: str) -> "Source":
        """Return the file with another text.

        Raises:
            UnicodeEncodeError: the encoding of the file has no such character.
        """
        data = self.bom + raw.encode(self.encoding)
        return Source(self.name, one_kind_of_line_end(raw), data, self.encoding, self.bom)

    @cached_property
    def _line_starts(self) -> list[int]:
        starts = [0]
        find = self.text.find
        at = find("\n")
        while at >= 0:
            starts.append(at + 1)
            at = find("\n", at + 1)
        return starts

    def span(self, start: int, end: int) -> Span:
        """Return the span of the characters `start` to `end`."""
        line = bisect_right(self._line_starts, start)
        return Span(self.name, line, start - self._line_starts[line - 1] + 1, start, end)

    def line(self, number: int) -> str:
        """Return line `number` (from 1) without its ending; an empty string past the end."""
        starts = self._line_starts
        if not 1 <= number <= len(starts):
            return ""
        end = starts[number] if number < len(starts) else len(self.text)
        return self.text[starts[number - 1] : end].rstrip("\r\n")

    @property
    def line_count(self) -> int:
        """Number of lines, a last one without ending included."""
        return len(self._line_starts)

    @cached_property
    def newline(self) -> str:
        """The line ending that the file's first line has; LF where there is none."""
        at = self.text.find("\n")
        if at > 0 and self.text[at - 1] == "\r":
            return "\r\n"
        return "\r" if b"\r" in self.data and at >= 0 and self.raw[at] == "\r" else "\n"
