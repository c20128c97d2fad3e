"""A release folder: boards, assemblies and their reference configurations, every pair checked.

Assemblies are the TOML files of the folder; the references of `NAME.toml` stand in
`reference/NAME/STYLE/`.
"""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Literal

from attrs import evolve, field

from pincheck.check import check
from pincheck.claims import Vocabulary, Words
from pincheck.intake import gather, machines
from pincheck.intake.machines import Machine, read
from pincheck.maker.reference import reference
from pincheck.maker.want import CannotExpressError
from pincheck.model.finding import Result
from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.wiring import Assembly
from pincheck.wiring import load, load_board
from pincheck.wiring.load import wiring_kind

REFERENCES = "reference"
MAX_FILES = 500
_MAX_DEPTH = 4

CellState = Literal[
    "agrees", "findings", "missing", "draft", "not possible", "in no style", "unreadable"
]
"""`not possible` is what this style alone cannot say; `in no style` fails, the wiring is wrong."""


@frozen
class MatrixCell:
    """One assembly in one style; `result` is there where a configuration could be checked."""

    assembly: str
    style: StyleName
    state: CellState
    reason: str = ""
    result: Result | None = field(default=None)

    @property
    def fails(self) -> bool:
        """Whether the release must not go out like this."""
        return self.state not in ("agrees", "not possible")


@frozen
class Across:
    """The reference of one assembly, checked on another.

    `open` counts what is not checked there beyond what is not checked at home either.
    """

    assembly: str
    style: StyleName
    on: str
    findings: int
    open: int

    @property
    def fits(self) -> bool:
        """Whether it can be used there as it is."""
        return not self.findings and not self.open


@frozen
class Release:
    """What a release folder comes to; `unused` are board files that no assembly names."""

    cells: tuple[MatrixCell, ...]
    across: tuple[Across, ...] = ()
    unused: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def assemblies(self) -> tuple[str, ...]:
        """The names of the assemblies' files, in order."""
        return tuple(dict.fromkeys(cell.assembly for cell in self.cells))

    @property
    def troubles(self) -> int:
        """How many things keep the release from going out."""
        return sum(cell.fails for cell in self.cells) + len(self.problems)

    def of(self, assembly: str) -> tuple[MatrixCell, ...]:
        """Return the cells of one assembly, a style each."""
        return tuple(cell for cell in self.cells if cell.assembly == assembly)


def release(folder: Path, words: Words | None = None) -> Release:
    """Check every reference against its assembly, and against every other one.

    `words` are a fork's own, by style.

    Raises:
        UnreadableError: there is no assembly in the folder.
    """
    own = words or {}
    assemblies: dict[str, Assembly] = {}
    boards: dict[str, Path] = {}
    problems: list[Problem] = []
    for path in _toml_files(folder):
        name = path.relative_to(folder).as_posix()
        try:
            kind = wiring_kind(path)
            if kind == "assembly":
                assemblies[name] = load(path)
            elif kind == "board":
                load_board(path)
                boards[name] = path
        except UnreadableError as error:
            problems += error.problems
    if not assemblies and not problems:
        message = "no assembly is in this folder"
        expected = "TOML files with [assembly], and references in reference/NAME/STYLE"
        raise UnreadableError((Problem(folder.name, message, expected=expected, fatal=True),))
    found = {
        (name, style): _machine(folder, name, style) for name in assemblies for style in STYLES
    }
    cells = _without_any(
        _cell(name, assemblies[name], style, machine, own.get(style))
        for (name, style), machine in found.items()
    )
    used = {source.data for it in assemblies.values() for source in it.sources}
    unused = (name for name, path in boards.items() if path.read_bytes() not in used)
    return Release(
        cells, tuple(_across(assemblies, found, cells, own)), tuple(unused), tuple(problems)
    )


def _toml_files(folder: Path) -> Iterator[Path]:
    count = 0
    for current, folders, files in os.walk(folder):
        depth = len(Path(current).relative_to(folder).parts)
        folders[:] = sorted(
            name
            for name in folders
            if not name.startswith(".") and (depth, name) != (0, REFERENCES)
        )
        if depth >= _MAX_DEPTH:
            folders.clear()
        for name in sorted(files):
            if name.endswith(".toml") and not name.startswith("."):
                count += 1
                if count > MAX_FILES:
                    message = f"more than {MAX_FILES} wiring files"
                    raise UnreadableError((Problem(folder.name, message, fatal=True),))
                yield Path(current) / name


def _machine(folder: Path, name: str, style: StyleName) -> Machine | Problem | None:
    """Return the reference of an assembly in one style, None where there is no folder for it."""
    place = (folder / REFERENCES / name.removesuffix(".toml")).joinpath(style)
    if not place.is_dir():
        return None
    found, problems = machines(gather([place]))
    if len(found) == 1 and found[0].style == style:
        return found[0]
    where = place.relative_to(folder).as_posix()
    what = f"it is in the {found[0].style} style" if found else "there is no configuration in it"
    what = problems[0].message if problems else what
    return Problem(where, what, expected="the reference of one machine", fatal=True)


def _cell(
    name: str,
    assembly: Assembly,
    style: StyleName,
    found: Machine | Problem | None,
    words: Vocabulary | None,
) -> MatrixCell:
    if assembly.unverified:
        reason = f"{assembly.unverified[0]} is marked as unverified"
        return MatrixCell(name, style, "draft", reason)
    if isinstance(found, Problem):
        return MatrixCell(name, style, "unreadable", f"{found.file}: {found.message}")
    if found is None:
        try:
            reference(assembly, style, words)
        except CannotExpressError as error:
            return MatrixCell(name, style, "not possible", str(error))
        return MatrixCell(
            name, style, "missing", "the style could say it, and no reference is here"
        )
    try:
        result = check(read(found), assembly, words)
    except UnreadableError as error:
        return MatrixCell(name, style, "unreadable", str(error))
    if any(problem.fatal for problem in (*found.problems, *result.problems)):
        return MatrixCell(name, style, "unreadable", str(result.problems[0]), result)
    if result.findings:
        return MatrixCell(name, style, "findings", "", result)
    if not result.tally("agrees"):
        reason = next((v.reason for v in result.verdicts if v.reason), "nothing was compared")
        return MatrixCell(name, style, "unreadable", reason, result)
    return MatrixCell(name, style, "agrees", "", result)


def _without_any(cells: Iterable[MatrixCell]) -> tuple[MatrixCell, ...]:
    """Return the cells, those of an assembly that no style has a reference for as failing.

    What one style cannot say is that style's matter; where none can, the copper or its description
    is wrong, and nothing of that assembly was shown to agree.
    """
    made = tuple(cells)
    possible = {cell.assembly for cell in made if cell.state != "not possible"}
    return tuple(c if c.assembly in possible else evolve(c, state="in no style") for c in made)


def _across(
    assemblies: dict[str, Assembly],
    found: dict[tuple[str, StyleName], Machine | Problem | None],
    cells: tuple[MatrixCell, ...],
    words: Words,
) -> Iterator[Across]:
    for cell in cells:
        machine = found[cell.assembly, cell.style]
        if not isinstance(machine, Machine) or cell.result is None:
            continue
        at_home = cell.result.tally("not checked")
        for other, assembly in assemblies.items():
            if other != cell.assembly:
                there = check(read(machine), assembly, words.get(cell.style))
                more = max(0, there.tally("not checked") - at_home)
                yield Across(cell.assembly, cell.style, other, len(there.findings), more)
