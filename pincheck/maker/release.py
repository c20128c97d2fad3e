"""A release folder: boards, assemblies and their reference configurations, every pair checked.

Assemblies are the TOML files of the folder; the references of `NAME.toml` stand in
`reference/NAME/STYLE/`, what goes out although it is not shown to agree in `release.toml`.
"""

import os
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from attrs import evolve

from pincheck.analysis.mating.prevention import plug_danger
from pincheck.check import check, wiring_findings
from pincheck.claims import Words
from pincheck.intake.machines import Machine, read
from pincheck.maker.consent import FILE, NOT_DROP_IN, Consent, Consents, consents
from pincheck.maker.proof import proof
from pincheck.maker.reference import left_open, reference
from pincheck.maker.release_cell import REFERENCES, MatrixCell, cell, machine_in
from pincheck.model.finding import Finding
from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.wiring import Assembly
from pincheck.wiring import load, load_board
from pincheck.wiring.load import wiring_kind

MAX_FILES = 500
_MAX_DEPTH = 4


@frozen
class WiringCell:
    """What is wrong with an assembly whatever a configuration says: findings `open`, or let go.

    `danger` tells of a plug that can destroy something when it goes on wrong, and what prevents it.
    """

    assembly: str
    open: tuple[Finding, ...] = ()
    let_go: tuple[Finding, ...] = ()
    danger: str = ""


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
    """What a release folder comes to; `unused` are board files that no assembly names.

    `consents` are those that something of it needed.
    """

    cells: tuple[MatrixCell, ...]
    wiring: tuple[WiringCell, ...] = ()
    across: tuple[Across, ...] = ()
    unused: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    consents: tuple[Consent, ...] = ()

    @property
    def assemblies(self) -> tuple[str, ...]:
        """The names of the assemblies' files, in order."""
        return tuple(dict.fromkeys(cell.assembly for cell in self.cells))

    @property
    def troubles(self) -> int:
        """How many things keep the release from going out."""
        wrong = sum(bool(it.open) for it in self.wiring)
        return sum(cell.fails for cell in self.cells) + wrong + len(self.problems)

    def of(self, assembly: str) -> tuple[MatrixCell, ...]:
        """Return the cells of one assembly, a style each."""
        return tuple(cell for cell in self.cells if cell.assembly == assembly)


def release(folder: Path, words: Words | None = None, *, prove: bool = False) -> Release:
    """Check every reference against its assembly, and against every other one.

    `words` are a fork's own, by style; `prove` spoils every line of each reference, too.

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
    let = consents(folder, assemblies)
    wiring = tuple(_wiring(name, assembly, let) for name, assembly in assemblies.items())
    found = {
        (name, style): machine_in(folder, name, style) for name in assemblies for style in STYLES
    }
    made = tuple(
        cell(name, assemblies[name], style, machine, own.get(style), let)
        for (name, style), machine in found.items()
    )
    cells = tuple(
        evolve(it, consent=let.find(it.assembly, it.state, it.style)) for it in _told(made)
    )
    if prove:
        cells = tuple(_proved(it, assemblies[it.assembly], own, let) for it in cells)
    needed = tuple(_needed(let, assemblies, wiring, cells))
    problems += (*let.problems, *let.idle(needed))
    used = {source.data for it in assemblies.values() for source in it.sources}
    unused = (name for name, path in boards.items() if path.read_bytes() not in used)
    across = tuple(_across(assemblies, found, cells, own))
    return Release(cells, wiring, across, tuple(unused), tuple(problems), needed)


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
            if name.endswith(".toml") and not name.startswith(".") and (depth, name) != (0, FILE):
                count += 1
                if count > MAX_FILES:
                    message = f"more than {MAX_FILES} wiring files"
                    raise UnreadableError((Problem(folder.name, message, fatal=True),))
                yield Path(current) / name


def _wiring(name: str, assembly: Assembly, let: Consents) -> WiringCell:
    found = wiring_findings(assembly)
    open_ = left_open(found, let.accepted(name))
    gone = tuple(finding for finding in found if finding not in open_)
    return WiringCell(name, open_, gone, plug_danger(assembly))


def _told(cells: tuple[MatrixCell, ...]) -> Iterator[MatrixCell]:
    """Yield the cells, what one style alone cannot say apart from what none can.

    Where none can, the copper or its description is wrong, and nothing of that assembly was shown
    to agree. Where another assembly has the style, its users would lose it.
    """
    possible = {it.assembly for it in cells if it.state != "not possible"}
    for it in cells:
        if it.state != "not possible":
            yield it
        elif it.assembly not in possible:
            yield evolve(it, state="in no style")
        else:
            having = (c.assembly for c in cells if c.style == it.style and c.result)
            lost = ", ".join(having)
            yield evolve(it, reason=f"{it.reason} (has it: {lost})" if lost else it.reason)


def _proved(it: MatrixCell, assembly: Assembly, words: Words, let: Consents) -> MatrixCell:
    if it.state != "agrees":
        return it
    own = words.get(it.style)
    return evolve(
        it, proof=proof(reference(assembly, it.style, own, let.accepted(it.assembly)), own)
    )


def _needed(
    let: Consents,
    assemblies: Mapping[str, Assembly],
    wiring: Iterable[WiringCell],
    cells: tuple[MatrixCell, ...],
) -> Iterator[Consent]:
    """Yield the consents without which something would fail."""
    states = {it.consent for it in cells if it.consent}
    seen = {(it.assembly, f.rule, role) for it in wiring for f in it.let_go for role in f.roles}
    seen |= {
        (it.assembly, f.rule, role)
        for it in cells
        for f in (it.result.findings if it.result else ())
        for role in f.roles
    }
    seen |= {(name, NOT_DROP_IN, fit.role) for name, it in assemblies.items() for fit in it.fits}
    for consent in let.all:
        if consent in states or (consent.assembly, consent.what, consent.role) in seen:
            yield consent


def _across(
    assemblies: dict[str, Assembly],
    found: dict[tuple[str, StyleName], Machine | Problem | None],
    cells: tuple[MatrixCell, ...],
    words: Words,
) -> Iterator[Across]:
    for it in cells:
        machine = found[it.assembly, it.style]
        if not isinstance(machine, Machine) or it.result is None:
            continue
        at_home = it.result.tally("not checked")
        for other, assembly in assemblies.items():
            if other != it.assembly:
                there = check(read(machine), assembly, words.get(it.style))
                more = max(0, there.tally("not checked") - at_home)
                yield Across(it.assembly, it.style, other, len(there.findings), more)
