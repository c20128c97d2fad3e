"""What holds of every suggested edit: it removes its finding, adds none, touches nothing else."""

import shutil
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from attrs import evolve

from pincheck import api
from pincheck.edits.trial import attempt, key, with_sources
from pincheck.intake import Machine
from pincheck.model.finding import Result
from pincheck.model.wiring import Assembly
from pincheck.rules.registry import rule_named, rules
from pincheck.rules.rule import Rule

ALL = [rule.id for rule in rules()]
OF_EACH_KIND = (
    "pins-swapped",
    "protection-off",
    "probe-pull-missing",
    "hotend-fan-missing",
    "role-not-configured",
    "homing-not-on-probe",
)
"""Rules whose edits replace, switch on, prefix, add and comment out, in all three styles."""

FORMS: dict[str, Callable[[bytes], bytes]] = {
    "CRLF": lambda data: data.replace(b"\n", b"\r\n"),
    "BOM": lambda data: b"\xef\xbb\xbf" + data,
    "no final newline": lambda data: data.rstrip(b"\n"),
    "tabs": lambda data: data.replace(b" ", b"\t", 3),
}


def failing(rule: Rule, root: Path, form: Callable[[bytes], bytes] = bytes) -> Machine:
    """Lay the rule's failing example out as files of the given form."""
    shutil.copytree(api.demo("."), root, dirs_exist_ok=True)
    for name, old, new in rule.fires.replaced:
        path = root / name
        text = path.read_text() if path.exists() else ""
        path.write_text(text.replace(old, new) if old else new)
    folder = root / "clean" / rule.fires.style
    for path in folder.iterdir():
        path.write_bytes(form(path.read_bytes()))
    return api.load_configuration(folder)


@cache
def _demo() -> Assembly:
    return api.load_wiring(api.demo("marsh-230-c.toml"))


def checked(root: Path, *, rewired: bool = True) -> tuple[Assembly, Callable[[Machine], Result]]:
    assembly = api.load_wiring(root / "marsh-230-c.toml") if rewired else _demo()
    return assembly, lambda machine: api.check(machine, assembly)


def named(identifier: str) -> Rule:
    rule = rule_named(identifier)
    assert rule is not None
    return rule


@pytest.mark.parametrize("identifier", ALL)
def test_an_edit_removes_its_finding_and_adds_none(identifier: str, tmp_path: Path) -> None:
    machine = failing(named(identifier), tmp_path)
    swaps = named(identifier).fires.replaced
    _, check = checked(tmp_path, rewired=any(file.endswith(".toml") for file, _, _ in swaps))
    result = check(machine)
    for proposal in api.propose(result):
        assert bool(proposal.edits) != bool(proposal.blocked)
        if proposal.edits:
            trial = attempt(machine, result, [proposal], check)
            assert trial.refused == ()
            before, after = ({key(f) for f in r.findings} for r in (result, trial.result))
            assert after <= before - {key(proposal.finding)}
            # What speaks of the same cause may go with it, and nothing else.
            gone = [f for f in result.findings if key(f) in before - after]
            assert {f.rule for f in gone} <= {identifier, *named(identifier).fires.also}


@pytest.mark.parametrize("identifier", OF_EACH_KIND)
@pytest.mark.parametrize("form", FORMS)
def test_other_bytes_stay_whatever_the_files_form(
    identifier: str, form: str, tmp_path: Path
) -> None:
    machine = failing(named(identifier), tmp_path, FORMS[form])
    _, check = checked(tmp_path)
    result = check(machine)
    (proposal,) = (p for p in api.propose(result) if p.finding.rule == identifier)
    trial = attempt(machine, result, [proposal], check)
    assert trial.applied == (proposal,)
    for old, new in zip(machine.sources, trial.machine.sources, strict=True):
        kept, at = [], 0
        for edit in sorted(
            (e for e in proposal.edits if e.source == old.name), key=lambda e: e.start
        ):
            kept.append(old.text[at : edit.start])
            at = edit.end
        kept.append(old.text[at:])
        rest = new.text
        for piece in kept:
            found = rest.find(piece)
            assert found >= 0
            rest = rest[found + len(piece) :]
        assert rest == ""
        assert new.bom == old.bom
        if form == "CRLF":
            assert new.text.count("\n") == new.text.count("\r\n")


@pytest.mark.parametrize("identifier", OF_EACH_KIND)
def test_what_was_applied_proposes_nothing_more(identifier: str, tmp_path: Path) -> None:
    machine = failing(named(identifier), tmp_path)
    _, check = checked(tmp_path)
    result = check(machine)
    edited = with_sources(machine, api.propose(result))
    assert [p for p in api.propose(check(edited)) if p.edits] == []


def test_a_raised_limit_is_said_first_and_is_not_safe(tmp_path: Path) -> None:
    machine = failing(named("heater-limit-too-high"), tmp_path)
    assembly, check = checked(tmp_path)
    result = check(machine)
    (finding,) = result.findings
    (change,) = finding.changes
    assert change.claim is not None
    raised = evolve(finding, changes=(evolve(change, value=float(change.claim.value) + 20),))  # type: ignore[arg-type]
    (proposal,) = api.propose(evolve(result, findings=(raised,)))
    assert not proposal.safe
    assert proposal.note.startswith("Raises the heater limit from ")
    trial = api.try_edits(machine, assembly, [proposal])
    assert "would still be there" in trial.refused[0][1]


def test_written_files_hold_what_was_tried(tmp_path: Path) -> None:
    machine = failing(named("pins-swapped"), tmp_path)
    assembly, check = checked(tmp_path)
    trial = api.try_edits(machine, assembly, api.propose(check(machine)))
    written = api.write(machine, trial.machine)
    assert [path.name for path in written] == ["toolhead.cfg"]
    again = api.load_configuration(tmp_path / "clean" / "section")
    assert [s.data for s in again.sources] == [s.data for s in trial.machine.sources]
    assert check(again).findings == ()
