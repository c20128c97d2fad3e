"""Which assembly of those offered a submission is checked against: manifest, marker, rules."""

import re
from collections.abc import Iterable, Iterator
from fnmatch import fnmatchcase
from pathlib import Path, PurePosixPath

from pincheck.batch.digest import joined
from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.reading import Reading
from pincheck.model.setting import STYLES, Activity
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.toml import document
from pincheck.toml.table import Field, Tables
from pincheck.wiring import folder, load

_IS_ASSEMBLY = re.compile(rb"^[ \t]*\[[ \t]*assembly[ \t]*\]", re.M)


@frozen
class Offered:
    """One assembly: its file's name without ending, its title, its file, and what is in it.

    `files` are its own, its boards' and its parts'.
    `digest` changes with any byte of its files, boards and parts included. `revisions` names the
    boards that the main one is joined to, or the main one where it stands alone.
    """

    name: str
    title: str
    file: Path
    digest: bytes
    revisions: str
    files: tuple[Path, ...] = ()


@frozen
class Offer:
    """Every assembly that a desk offers."""

    assemblies: tuple[Offered, ...]

    def find(self, written: str) -> Offered | None:
        """Return the assembly of this name or title, whatever the case; None for neither."""
        wanted = _fold(written.removesuffix(".toml"))
        return next((a for a in self.assemblies if wanted in (_fold(a.name), _fold(a.title))), None)

    def unknown(self, written: str) -> str:
        """Return the words for a name that no assembly has."""
        near = nearest(written, [a.name for a in self.assemblies])
        hint = f"; did you mean {near!r}?" if near else f"; known: {self.names()}"
        return f"there is no assembly {written[:60]!r}{hint}"

    def names(self) -> str:
        """Return the first names, for messages."""
        names = [assembly.name for assembly in self.assemblies]
        return ", ".join(names[:8]) + (" ..." if len(names) > 8 else "")


def offer(paths: Iterable[Path]) -> Offer:
    """Load the assemblies in these files and folders (a folder's boards and parts are no assembly).

    Raises:
        UnreadableError: with every mistake of all of them, or that there is none.
    """
    found: dict[str, Offered] = {}
    problems: list[Problem] = []
    for file in _files(paths):
        try:
            offered = _loaded(file)
        except UnreadableError as error:
            problems += error.problems
            continue
        first = found.setdefault(_fold(offered.name), offered)
        if first.file.resolve() != file.resolve():
            problems.append(Problem(file.name, f"{first.file} has the same name", fatal=True))
    if not found and not problems:
        expected = "a file with the table [assembly], or a folder of such files"
        problems.append(Problem("wiring", "no assembly was found", expected=expected, fatal=True))
    if problems:
        raise UnreadableError(tuple(problems))
    return Offer(tuple(found.values()))


def _files(paths: Iterable[Path]) -> Iterator[Path]:
    for path in paths:
        if path.is_dir():
            for file in sorted(path.glob("*.toml")):
                if file.is_file() and _IS_ASSEMBLY.search(file.read_bytes()):
                    yield file
        else:
            yield path


def _loaded(file: Path) -> Offered:
    assembly = load(file)
    where = file.resolve()
    files = tuple(where.parent / source.name for source in assembly.sources)
    made = file.stem, assembly.name, where, digest_of(assembly), _revisions(assembly)
    return Offered(*made, files)


def digest_of(assembly: Assembly) -> bytes:
    """Return the digest of all files of an assembly."""
    sources = sorted(assembly.sources, key=lambda source: source.name)
    return joined(*(part for source in sources for part in (source.name, source.data)))


def _revisions(assembly: Assembly) -> str:
    joined = [board.title for key, board in assembly.boards.items() if key != assembly.main]
    return " + ".join(joined or [board.title for board in assembly.boards.values()])


def _fold(name: str) -> str:
    return " ".join(name.casefold().replace("_", "-").split())


MARKER = "pincheck-assembly.txt"
"""A file of this name in a submission names its assembly on the first line that is no comment."""

_FILE = {"assign": Field("any", "the rules, one [[assign]] each", needed=True)}
_RULE = {
    "assembly": Field("text", "name of the assembly", needed=True),
    "path": Field("text", "pattern for the path in the batch's folder, such as returns/*"),
    "style": Field("choice", "style of the configuration", choices=tuple(STYLES)),
    "setting": Field("text", "word in a setting that is in force, such as a board's identifier"),
    "text": Field("text", "word anywhere in the files, comments included"),
}


class UnassignedError(Exception):
    """No assembly for a submission; says why."""


@frozen
class AssignmentRule:
    """Assigns `assembly` where everything that it states holds; what is empty is not asked."""

    number: int
    assembly: str
    path: str = ""
    style: str = ""
    setting: str = ""
    text: str = ""

    def fits(self, path: str, reading: Reading) -> bool:
        """Tell whether a submission is what the rule describes."""
        return (
            (not self.path or fnmatchcase(path, self.path))
            and self.style in ("", reading.style)
            and (not self.setting or _in_settings(self.setting, reading))
            and (not self.text or any(_holds(s.text, self.text) for s in reading.sources))
        )


def rules(file: Path, offered: Offer) -> tuple[AssignmentRule, ...]:
    """Return the rules of a TOML file, in their order: the first that fits assigns.

    Raises:
        UnreadableError: with every mistake found.
    """
    tables = Tables(document.parse(folder.read(file, file.name)))
    tables.read((), _FILE)
    listed = tables.document.values.get("assign", [])
    if not isinstance(listed, list):
        tables.wrong(("assign",), "this is one table", "a list of rules: [[assign]]")
        listed = []
    found = []
    for number in range(len(listed)):
        at = ("assign", number)
        values = tables.read(at, _RULE)
        if len(values) == 1 and "assembly" in values:
            expected = "a condition: path, style, setting or text"
            tables.wrong(at, "this rule would fit every submission", expected)
        written = values.get("assembly", "")
        if written and offered.find(written) is None:
            tables.wrong((*at, "assembly"), offered.unknown(written))
        found.append(AssignmentRule(number + 1, **{"assembly": "", **values}))
    if tables.problems:
        raise UnreadableError(tuple(tables.problems))
    return tuple(found)


def assign(
    offered: Offer,
    assigned_by: tuple[AssignmentRule, ...],
    path: str,
    named: str,
    handed: tuple[Source, ...],
    reading: Reading,
) -> tuple[Offered, str]:
    """Return the assembly of a submission, and what assigned it in words.

    `named` is what the manifest says, `handed` every text file of the submission.

    Raises:
        UnassignedError: it fits none, or names one that is not offered.
    """
    if named:
        return _offered(offered, named, "the manifest"), "manifest"
    marked = {name for source in handed if (name := _marked(source))}
    if len(marked) > 1:
        raise UnassignedError(f"its marker files disagree: {', '.join(sorted(marked))}")
    if marked:
        return _offered(offered, marked.pop(), f"its {MARKER}"), "marker file"
    for rule in assigned_by:
        if rule.fits(path, reading):
            return _offered(offered, rule.assembly, f"rule {rule.number}"), f"rule {rule.number}"
    if len(offered.assemblies) == 1:
        return offered.assemblies[0], "only assembly"
    tried = f"no {MARKER}, no rule fits" if assigned_by else f"no {MARKER}"
    raise UnassignedError(f"it fits no assembly: no manifest names one, {tried}")


def _offered(offered: Offer, written: str, by: str) -> Offered:
    found = offered.find(written)
    if found is None:
        raise UnassignedError(
            f"{by} names an assembly that is not here: {offered.unknown(written)}"
        )
    return found


def _marked(source: Source) -> str:
    if PurePosixPath(source.name).name != MARKER:
        return ""
    lines = (line.strip() for line in source.text.splitlines()[:20])
    return next((line for line in lines if line and not line.startswith("#")), "")


def _in_settings(word: str, reading: Reading) -> bool:
    return any(_holds(text, word) for text in _in_force(reading))


def _in_force(reading: Reading) -> Iterator[str]:
    for setting in reading.settings:
        if setting.activity is Activity.ACTIVE:
            yield from (setting.section, setting.key, setting.value)


def _holds(text: str, word: str) -> bool:
    return word in text and re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text) is not None
