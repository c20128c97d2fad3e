"""An assembly file, with the boards and parts it names, to an assembly; what a file describes."""

from collections.abc import Container, Iterator, Mapping
from pathlib import Path
from typing import Any, Literal

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError, refusal
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly, Board, Part
from pincheck.toml.document import Document, parse
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show
from pincheck.wiring import folder, parts, schema
from pincheck.wiring.board import read_board
from pincheck.wiring.fitting import Fitting

WiringKind = Literal["assembly", "board", "other"]


def load(path: Path) -> Assembly:
    """Return the assembly that a TOML file describes.

    Boards and parts are looked for inside the folder of the file only.

    Raises:
        UnreadableError: with every mistake in the file and in those it names.
    """
    loading = _Loading(path)
    assembly = loading.assembly()
    problems = tuple(loading.problems())
    if problems:
        raise UnreadableError(problems)
    return assembly


@frozen
class Revision:
    """An assembly with another revision of one of its boards, from the same folder."""

    key: str
    file: str
    assembly: Assembly


def revisions(path: Path, today: Assembly) -> Iterator[Revision]:
    """Yield today's assembly with each other board file of the same board's name that fits in."""
    for key, board in today.boards.items():
        own = (path.parent / board.source.name).resolve() if board.source else path
        others = sorted(it for it in own.parent.glob("*.toml") if it.resolve() != own)
        for file in others[: limits.SLIP_BOARDS]:
            try:
                if f'"{board.name}"' not in folder.read(file, file.name).text:
                    continue
                loading = _Loading(path, {key: file.resolve()})
                assembly = loading.assembly()
            except UnreadableError:
                continue
            if not any(loading.problems()) and assembly.boards[key].name == board.name:
                yield Revision(key, loading.folder.name(file.resolve()), assembly)


def wiring_kind(path: Path) -> WiringKind:
    """Return what a file describes; a broken one counts as what its readable tables say.

    Raises:
        UnreadableError: it cannot be read at all.
    """
    return kind_of(parse(folder.read(path, path.name)).values)


def assemblies_near(place: Path) -> tuple[Path, ...]:
    """Return the assemblies in a folder or its folder `wiring`, else those one folder up.

    A file that cannot be read at all is among them: it may be the one that is meant.
    """
    for around in (place, place.resolve().parent):
        files = (
            file
            for inside in (around, around / "wiring")
            for file in sorted(inside.glob("*.toml"))[: limits.WIRING_FILES]
        )
        if found := tuple(file for file in files if _may_be_assembly(file)):
            return found
    return ()


def _may_be_assembly(file: Path) -> bool:
    try:
        return wiring_kind(file) == "assembly"
    except UnreadableError:
        return file.is_file()


def kind_of(tables: Container[str]) -> WiringKind:
    """Return what a file with these tables describes."""
    if "board" in tables or "connectors" in tables:
        return "board"
    return "assembly" if any(name in tables for name in ("assembly", "boards", "fit")) else "other"


def _parsed(path: Path) -> Document:
    """Return an assembly's own file; one of another kind is refused as a whole.

    Raises:
        UnreadableError: it cannot be read, or is a configuration, say.
    """
    source = folder.read(path, path.name)
    try:
        document = parse(source)
    except UnreadableError:
        if path.suffix == ".toml":
            raise
    else:
        if path.suffix == ".toml" or not document.problems:
            return document
    message = "this is no TOML file: the wiring is described in one, as in assembly.toml"
    raise UnreadableError((Problem(source.name, message, fatal=True),))


class _Loading:
    """One assembly's files; `instead` are files that stand in for those of some boards."""

    def __init__(self, path: Path, instead: Mapping[str, Path] | None = None) -> None:
        self.instead = instead or {}
        try:
            self.folder = folder.Folder.around(path)
        except OSError as error:
            where = printable(str(path.parent))
            message = f"cannot be read in {where!r}: {error.strerror}"
            problem = Problem(path.name, message, fatal=True)
            raise UnreadableError((problem,)) from None
        self.tables = Tables(_parsed(path))
        self.others: dict[Path, Tables | None] = {}
        self.size = 0
        self.unreadable: list[Problem] = []

    def problems(self) -> Iterator[Problem]:
        """Yield every mistake by file and in the order of the file: the assembly's own come last,
        for they may follow from those of the files that it names."""
        found = [
            problem
            for tables in (*self.others.values(), self.tables)
            if tables
            for problem in sorted(tables.problems, key=lambda p: p.span.start if p.span else 0)
        ]
        found = [*self.unreadable, *found]
        yield from found[: limits.WIRING_PROBLEMS]
        if len(found) > limits.WIRING_PROBLEMS:
            message = f"{len(found) - limits.WIRING_PROBLEMS} further mistakes are not listed"
            yield Problem(self.tables.document.source.name, message)

    def assembly(self) -> Assembly:
        top = self.tables.read((), schema.ASSEMBLY_FILE)
        about: dict[str, Any] = {}
        if "assembly" in top:
            about = self.tables.read(("assembly",), schema.ASSEMBLY)
        elif kind_of(self.tables.document.values) == "board":
            message = "this file describes a board; name the assembly that the board is part of"
            problem = Problem(self.tables.document.source.name, message, fatal=True)
            raise UnreadableError((problem,))
        elif foreign := self._foreign():
            problem = Problem(self.tables.document.source.name, foreign, fatal=True)
            raise UnreadableError((problem,))
        elif "assembly" not in self.tables.document.values and not self.tables.document.broken:
            expected = "[assembly] with a name"
            self.tables.wrong((), "the table [assembly] is missing", expected)
        catalogue, built_in_source = parts.built_in()
        own = self._parts(about.get("parts", ()))
        boards = dict(self._boards())
        # Of a broken board only what stands at it goes unchecked: all mistakes come in one run.
        fitting = Fitting(self.tables, boards, {**catalogue, **own})
        fits = tuple(fitting.fits())
        return Assembly(
            name=about.get("name", ""),
            boards={key: board for key, board in boards.items() if board},
            cables=tuple(fitting.cables()),
            fits=fits,
            limits=tuple(fitting.limits()),
            chips=dict(fitting.chips()),
            ambient_c=about.get("ambient_c", 25.0),
            supplied=tuple(self._supplied(about.get("supplied", ()), boards)),
            unknown=tuple(fitting.unknown(about.get("unknown", []))),
            unverified=tuple(fitting.unverified()),
            sources=(*self._sources(), built_in_source),
        )

    def _foreign(self) -> str:
        """Return what the file is where it is no assembly at all, else empty."""
        document = self.tables.document
        tables = [it for it in document.values.values() if isinstance(it, dict)]
        if kind_of(document.values) == "other" and any("kind" in table for table in tables):
            return "this file describes parts; name the assembly that lists it under parts"
        return ""

    def _sources(self) -> Iterator[Source]:
        yield self.tables.document.source
        yield from (tables.document.source for tables in self.others.values() if tables)

    def _boards(self) -> Iterator[tuple[str, Board | None]]:
        """Yield each board by key, None for one that could not be read."""
        read: dict[Path, Board] = {}
        for number, key in enumerate(self.tables.children(("boards",))):
            path: KeyPath = ("boards", key)
            self._bound(path, number, limits.WIRING_FILES, "boards")
            if "." in key:
                self.tables.wrong(
                    path, f"{show(key)} holds a dot", "a key without dots", on_key=True
                )
            file = self.instead.get(key) or self._find(path, f"file of board {key}")
            tables = self._open(path, file) if file else None
            if tables is None or file is None:
                yield key, None
                continue
            if file not in read:
                read[file] = read_board(tables)
            yield key, read[file]
        if not self.tables.document.values.get("boards"):
            self.tables.wrong(
                (), "there is no board", '[boards] with lines like main = "board.toml"'
            )

    def _supplied(self, keys: list[str], boards: Mapping[str, Board | None]) -> Iterator[str]:
        for number, key in enumerate(keys):
            if key in boards:
                yield key
                continue
            path: KeyPath = ("assembly", "supplied", number)
            message = f"there is no board {show(key)}"
            self.tables.wrong(path, message, "a key of [boards]", nearest(key, boards))

    def _parts(self, files: list[str]) -> dict[str, Part | None]:
        """Return the user's own parts by id, None for one that could not be read."""
        own: dict[str, Part | None] = {}
        for number in range(len(files)):
            path: KeyPath = ("assembly", "parts", number)
            if not isinstance(self.tables.document.get(path), str):
                continue  # noted where the list was read
            file = self._find(path, "parts file")
            tables = self._open(path, file) if file else None
            if tables is None:
                continue
            for id_, part in parts.read_parts(tables).items():
                if first := own.get(id_):
                    message = f"part {show(id_)} is in {first.at} already"
                    tables.wrong((id_,), message, "one table for each part", on_key=True)
                own.setdefault(id_, part)
            own = {**dict.fromkeys(tables.document.values), **own}
        return own

    def _find(self, path: KeyPath, words: str) -> Path | None:
        written = self.tables.document.get(path)
        if not isinstance(written, str):
            self.tables.wrong(path, f"{show(written)} is no text", f'{words}: text in "quotes"')
            return None
        try:
            return self.folder.find(written)
        except folder.RefusedError as error:
            self.tables.wrong(path, error.message, f"{words}: {error.expected}", error.nearest)
        return None

    def _open(self, path: KeyPath, file: Path) -> Tables | None:
        """Return the tables of the file that the assembly names at `path`, None where unreadable.

        Raises:
            UnreadableError: with this file there is more than any machine needs.
        """
        if file in self.others:
            return self.others[file]
        self.others[file] = None
        self._bound(path, len(self.others), limits.WIRING_FILES, "files")
        try:
            source = folder.read(file, self.folder.name(file))
        except UnreadableError as error:
            self.unreadable.extend(error.problems)
            return None
        self.size += len(source.data)
        self._bound(path, self.size // 1024, limits.WIRING_TOTAL_BYTES // 1024, "KiB of files")
        try:
            self.others[file] = Tables(parse(source))
        except UnreadableError as error:
            self.unreadable.extend(error.problems)
        return self.others[file]

    def _bound(self, path: KeyPath, count: int, most: int, what: str) -> None:
        if count > most:
            document = self.tables.document
            at = document.value(path).start
            raise refusal(document.source, at, f"more than {most} {what} in one assembly")
