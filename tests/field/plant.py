"""Machines of the field with one fault planted, and what a check has to say of each."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from shutil import copytree
from typing import Any

from attrs import frozen
from laws import broken

from pincheck.api import check, load_configuration, load_wiring, propose
from pincheck.intake import Machine
from pincheck.model.finding import Finding
from pincheck.model.wiring import Assembly

MACHINES = Path(__file__).parent / "machines"


@frozen
class Swap:
    """One text of one file replaced; the old text stands there exactly once."""

    file: str
    old: str
    new: str


@frozen
class Fault:
    """One planted fault: the swaps that make it, and what has to be found.

    `rules` are all the rules that rightly speak, the one that is meant first; none for a change
    that is no fault. `line` is a text of the line that the finding points to, `says` are texts of
    its message. `edit` tells whether an edit is suggested, which must take the finding away.
    """

    machine: str
    name: str
    swaps: tuple[Swap, ...]
    rules: tuple[str, ...]
    line: str
    says: tuple[str, ...]
    edit: bool


def names() -> list[str]:
    """Return every machine's folder name."""
    return sorted(path.name for path in MACHINES.iterdir() if (path / "assembly.toml").exists())


def faults() -> Iterator[Fault]:
    """Yield every planted fault of every machine."""
    for machine in names():
        table = MACHINES / machine / "faults.toml"
        if table.exists():
            rows = tomllib.loads(table.read_text(encoding="utf-8"))["fault"]
            yield from (_fault(machine, row) for row in rows)


def _fault(machine: str, row: Mapping[str, Any]) -> Fault:
    first = Swap(row["file"], row["old"], row["new"])
    more = (Swap(*swap) for swap in row.get("more", ()))
    rules = row.get("rules", [])
    last = row["new"].strip().splitlines()
    return Fault(
        machine=machine,
        name=row.get("name") or f"{rules[0] if rules else 'clean'}: {row['new'].strip()[:60]!r}",
        swaps=(first, *more),
        rules=tuple(rules),
        line=row.get("line", last[-1].strip() if last else ""),
        says=tuple(row.get("says", ())),
        edit=row.get("edit", True),
    )


@cache
def _assembly(machine: str) -> Assembly:
    return load_wiring(MACHINES / machine / "assembly.toml")


def clean(machine: str) -> tuple[Machine, Assembly]:
    """Return a machine as it is on disk."""
    return load_configuration(MACHINES / machine / "config"), _assembly(machine)


def planted(fault: Fault, folder: Path) -> tuple[Machine, Assembly]:
    """Return the machine with the fault in it; `folder` takes the changed files."""
    root = folder / fault.machine
    copytree(MACHINES / fault.machine, root)
    for swap in fault.swaps:
        path = root / swap.file
        with path.open(encoding="utf-8", newline="") as file:
            text = file.read()
        old = swap.old.replace("\n", "\r\n") if "\r\n" in text else swap.old
        assert text.count(old) == 1, f"{swap.old!r} stands {text.count(old)} times in {swap.file}"
        with path.open("w", encoding="utf-8", newline="") as file:
            file.write(text.replace(old, swap.new))
    wired = any(swap.file.endswith(".toml") for swap in fault.swaps)
    assembly = load_wiring(root / "assembly.toml") if wired else _assembly(fault.machine)
    return load_configuration(root / "config"), assembly


def complaints(fault: Fault, folder: Path) -> list[str]:
    """Return everything in which a check of the planted fault is not what it should be."""
    machine, assembly = planted(fault, folder)
    result = check(machine, assembly)
    found = [finding.rule for finding in result.findings]
    if sorted(found) != sorted(fault.rules):
        told = [f"{f.rule} ({f.span}): {f.message}" for f in result.findings]
        return [f"expected {list(fault.rules)}, found {told or 'nothing'}"]
    if not fault.rules:
        return []
    meant = next(f for f in result.findings if f.rule == fault.rules[0])
    wrong = [f"does not say {text!r}: {meant.message}" for text in fault.says
             if text not in meant.message]  # fmt: skip
    at = _line(machine, assembly, meant)
    if fault.line and fault.line not in at:
        wrong.append(f"points to {at!r} ({meant.span}), not to {fault.line!r}")
    proposal = next(p for p in propose(result) if p.finding is meant)
    if bool(proposal.edits) != fault.edit:
        wrong.append(f"edit: {proposal.note or proposal.blocked}")
    return wrong + list(broken(machine, result, proposal, lambda edited: check(edited, assembly)))


def _line(machine: Machine, assembly: Assembly, finding: Finding) -> str:
    span = finding.span
    sources = (*machine.sources, *assembly.sources)
    source = next((s for s in sources if span and s.name == span.source), None)
    return source.line(span.line) if source and span else ""
