"""One assembly of a release in one style: what stands in its folder against what is made today."""

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from attrs import field

from pincheck.analysis.stamp import digest_of_lines, digest_of_wiring, stamp_of
from pincheck.check import check
from pincheck.claims import Vocabulary
from pincheck.intake import gather, machines
from pincheck.intake.machines import Machine, read
from pincheck.maker.consent import Consent, Consents
from pincheck.maker.proof import Proof
from pincheck.maker.reference import Reference, left_open, reference
from pincheck.maker.want import CannotExpressError
from pincheck.model.finding import Result
from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import StyleName
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly

REFERENCES = "reference"

CellState = Literal[
    "agrees", "other lines", "findings", "stale", "edited", "unstamped", "missing", "draft",
    "not possible", "in no style", "not judged", "unreadable",
]  # fmt: skip
"""`stale`: the wiring says something else than when it was made; `edited`: its lines are not those
that it was made with; `other lines`: this version or today's
spelling would be others, and those it has agree.
`not judged`: something without which nobody may switch on was not shown to agree.
`not possible` is what this style alone cannot say, `in no style` what none can."""

_DRIFT: tuple[CellState, ...] = ("stale", "edited", "unstamped", "other lines")
"""Ways in which a reference is not what would be made today, the worst first."""


@frozen
class MatrixCell:
    """One assembly in one style; `result` is there where a configuration could be checked.

    `consent` lets a state go that would keep the release from going out; `proof` is what became of
    its spoilt lines, where that was asked for.
    """

    assembly: str
    style: StyleName
    state: CellState
    reason: str = ""
    result: Result | None = field(default=None)
    consent: Consent | None = field(default=None)
    proof: Proof | None = field(default=None)

    @property
    def fails(self) -> bool:
        """Whether the release must not go out like this."""
        if self.proof and self.proof.unseen:
            return True
        return self.state not in ("agrees", "other lines") and self.consent is None


def machine_in(folder: Path, name: str, style: StyleName) -> Machine | Problem | None:
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


def cell(
    name: str,
    assembly: Assembly,
    style: StyleName,
    found: Machine | Problem | None,
    words: Vocabulary | None,
    let: Consents,
) -> MatrixCell:
    """Return what becomes of one assembly in one style."""
    if assembly.unverified:
        reason = f"{assembly.unverified[0]} is marked as unverified"
        return MatrixCell(name, style, "draft", reason)
    if isinstance(found, Problem):
        return MatrixCell(name, style, "unreadable", f"{found.file}: {found.message}")
    accepted = let.accepted(name)
    made: Reference | None = None
    try:
        made = reference(assembly, style, words, accepted)
        reason = "the style could say it, and no reference is here"
    except CannotExpressError as error:
        reason = str(error)
    if found is None:
        return MatrixCell(name, style, "missing" if made else "not possible", reason)
    try:
        same = made is not None and _texts(found) == _texts(made.machine)
        result = made.result if made and same else check(read(found), assembly, words)
    except UnreadableError as error:
        return MatrixCell(name, style, "unreadable", str(error))
    if any(problem.fatal for problem in (*found.problems, *result.problems)):
        return MatrixCell(name, style, "unreadable", str(result.problems[0]), result)
    if not result.tally("agrees"):
        reason = next((v.reason for v in result.verdicts if v.reason), "nothing was compared")
        return MatrixCell(name, style, "unreadable", reason, result)
    state, drift = _drift(found, assembly, made) if not same else ("agrees", "")
    if left_open(result.findings, accepted):
        return MatrixCell(name, style, "findings", drift, result)
    if result.unjudged and state in ("agrees", "other lines"):
        told = "; ".join(dict.fromkeys(f"{it.role}: {it.reason}" for it in result.unjudged))
        return MatrixCell(name, style, "not judged", told, result)
    return MatrixCell(name, style, state, drift, result)


def _texts(machine: Machine) -> dict[str, str]:
    return {it.name.rpartition("/")[2]: it.text.replace("\r\n", "\n") for it in machine.sources}


def _drift(found: Machine, assembly: Assembly, made: Reference | None) -> tuple[CellState, str]:
    """Return in what way a reference is not what would be made today, and in words."""
    told = tuple(_signs(found, assembly, made))
    worst = min((state for state, _ in told), key=_DRIFT.index, default=_DRIFT[-1])
    return worst, "; ".join(dict.fromkeys(text for _, text in told))


def _signs(
    found: Machine, assembly: Assembly, made: Reference | None
) -> Iterator[tuple[CellState, str]]:
    wiring = digest_of_wiring(assembly)
    for source in found.sources:
        stamp, name = stamp_of(source.text), source.name.rpartition("/")[2]
        if stamp is None:
            yield "unstamped", f"{name} has no stamp: nobody knows what it was made from"
            continue
        if stamp.wiring != wiring:
            of = f"made from {stamp.assembly}, {stamp.boards}"
            yield "stale", f"{name}: the wiring changed since it was {of} (wiring {stamp.wiring})"
        if stamp.lines != digest_of_lines(source.text):
            yield "edited", f"{name}: {_edited(source, made)}"
        elif stamp.wiring == wiring and made is None:
            yield "edited", f"{name}: no reference can be made any more"
    if made and (lacking := sorted(_texts(made.machine).keys() - _texts(found).keys())):
        yield "edited", f"{', '.join(lacking)} is missing"
    if made and (further := sorted(_texts(found).keys() - _texts(made.machine).keys())):
        yield "edited", f"{', '.join(further)} was put beside it"


def _edited(source: Source, made: Reference | None) -> str:
    """Return where a file was changed by hand first, as far as today's reference tells it."""
    now = _texts(made.machine).get(source.name.rpartition("/")[2], "") if made else ""
    for number, (is_, was) in enumerate(
        zip(source.text.splitlines(), now.splitlines(), strict=False), 1
    ):
        if is_ != was and stamp_of(was) is None:
            return f"changed by hand, first at line {number}: {is_.strip()[:60]!r}"
    return "changed by hand since it was made"
