"""The stamp of a reference: which wiring, boards and version it was made from."""

import re
from collections.abc import Iterable, Iterator

from pincheck.model.finding import Result
from pincheck.model.frozen import frozen
from pincheck.model.printable import printable
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.toml.document import parse
from pincheck.wiring.parts import built_in

_LEAD = "Stamp of pincheck "
_STAMP = re.compile(
    rf"{_LEAD}(\S{{1,40}}), (\w{{1,40}}) style, wiring ([0-9a-f]{{12}}), lines ([0-9a-f]{{12}}), "
    r"boards (.{1,400}?), assembly (.{1,400})"
)
_DIGITS = 12


@frozen
class Stamp:
    """What a reference was made from.

    `wiring` is the digest of what the wiring files say, `lines` that of the file's own text
    without the line of the stamp; `boards` are their titles.
    """

    version: str
    style: str
    wiring: str
    lines: str
    boards: str
    assembly: str

    def __str__(self) -> str:
        made = f"{_LEAD}{self.version}, {self.style} style, wiring {self.wiring}"
        of = f"boards {self.boards}, assembly {self.assembly}"
        return f"{made}, lines {self.lines}, {of}"


def stamp_of(text: str) -> Stamp | None:
    """Return the first stamp in a text, None without one."""
    found = _STAMP.search(text) if _LEAD in text else None
    return Stamp(*map(str.strip, found.groups())) if found else None


def digest_of_wiring(assembly: Assembly) -> str:
    """Return the digest of what the files of an assembly say, whatever their remarks and layout."""
    import json  # with the next, only where a file has a stamp

    catalogue = built_in()[1]
    files = [parse(it).values for it in assembly.sources if it is not catalogue]
    return _digest(json.dumps(files, sort_keys=True, default=str))


def digest_of_lines(text: str) -> str:
    """Return the digest of a file's lines, without that of its stamp and whatever ends them."""
    return _digest("\n".join(it.rstrip("\r") for it in text.split("\n") if _LEAD not in it))


def boards_of(assembly: Assembly) -> str:
    """Return the titles of an assembly's boards: its revision in words."""
    titles = dict.fromkeys(board.title for board in assembly.boards.values())
    return printable(" + ".join(titles)).replace(", ", " ")


def stamps(sources: Iterable[Source]) -> Iterator[tuple[Source, Stamp]]:
    """Yield each different wiring that files were made for, with the first file that says so."""
    seen = set()
    for source in sources:
        if (found := stamp_of(source.text)) and found.wiring not in seen:
            seen.add(found.wiring)
            yield source, found


def origins(result: Result) -> Iterator[str]:
    """Yield in a sentence for what wiring each stamped file was made, and whether it is this."""
    for source, stamp in stamps(result.reading.sources):
        lead = f"{printable(source.name)} comes from the reference for {stamp.assembly}"
        lead += f" ({stamp.boards}, pincheck {stamp.version})"
        if stamp.wiring == digest_of_wiring(result.assembly):
            yield f"{lead}, which is the wiring described here."
        elif stamp.boards != (boards := boards_of(result.assembly)):
            yield f"{lead}: the wiring described here is of other boards, {boards}."
        elif stamp.assembly != result.assembly.name:
            yield f"{lead}: the wiring described here is of {result.assembly.name}."
        else:
            yield f"{lead}: the description of the wiring has changed since."


def _digest(text: str) -> str:
    import hashlib

    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:_DIGITS]
