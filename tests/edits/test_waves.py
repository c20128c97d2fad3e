"""Proposals applied together: causes first, and no edit for what a cause already mended."""

import shutil
from pathlib import Path

import pytest
from attrs import evolve

from pincheck import api
from pincheck.cli.main import main
from pincheck.edits.trial import attempt
from pincheck.intake import Machine
from pincheck.model.finding import Edit, Proposal, Result


def wanted(proposals: tuple[Proposal, ...]) -> list[Proposal]:
    return [proposal for proposal in proposals if proposal.edits and proposal.safe]


def test_a_wrong_sense_resistor_leaves_the_current_alone(tmp_path: Path) -> None:
    shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
    header = tmp_path / "clean" / "define" / "machine_adv.h"
    right = header.read_bytes()
    wrong = right.replace(b"E0_RSENSE       0.11", b"E0_RSENSE       0.22")
    assert wrong != right
    header.write_bytes(wrong)
    machine = api.load_configuration(header.parent)
    assembly = api.load_wiring(tmp_path / "marsh-230-c.toml")
    chosen = wanted(api.propose(api.check(machine, assembly)))
    assert {p.finding.rule for p in chosen} == {
        "motor-current-over-rating",
        "sense-resistor-differs",
    }
    trial = api.try_edits(machine, assembly, chosen)
    assert [p.finding.rule for p in trial.applied] == ["sense-resistor-differs"]
    assert trial.result.findings == trial.refused == ()
    assert [p.finding.rule for p in trial.mended] == ["motor-current-over-rating"]
    tried = {source.name: source.data for source in trial.machine.sources}
    assert tried["machine_adv.h"] == right


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_the_order_given_does_not_matter(style: str) -> None:
    machine = api.load_configuration(api.demo("planted") / style)
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    chosen = wanted(api.propose(api.check(machine, assembly)))
    trials = [api.try_edits(machine, assembly, given) for given in (chosen, chosen[::-1])]
    assert trials[0] == trials[1]
    assert trials[0].machine == trials[1].machine


def test_an_edit_left_out_is_told_with_its_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
    header = tmp_path / "clean" / "define" / "machine_adv.h"
    header.write_bytes(
        header.read_bytes().replace(b"E0_RSENSE       0.11", b"E0_RSENSE       0.22")
    )
    main(["edits", str(header.parent), "--wiring", str(tmp_path / "marsh-230-c.toml")])
    shown = capsys.readouterr().out
    assert "left out: another edit mends this finding already" in shown


def test_one_bad_edit_of_many_is_found_with_few_checks() -> None:
    """64 roles, one edit of which brings a finding: by halves it takes 13 checks, not 65."""
    machine = api.load_configuration_bytes(
        b"[fan]\npin: PA1\n" + b"a: b\n" * 64, "printer.cfg", "section"
    )
    result = api.check(machine, api.load_wiring(api.demo("marsh-230-c.toml")))
    like = result.findings[0]
    made = [
        evolve(like, spots=((f"{group}{n}.fan", "pin"),))
        for group in ("aux", "part")
        for n in range(2, 34)
    ]
    bad = evolve(like, spots=(("bed.heater", "max_c"),))
    proposals = [
        Proposal(finding, (Edit("printer.cfg", at, at + 1, "c" if n == 40 else "d"),))
        for n, finding in enumerate(made)
        for at in (18 + 5 * n,)
    ]
    checks = 0

    def check(edited: Machine) -> Result:
        nonlocal checks
        checks += 1
        lines = [line[3] for line in edited.main.text.splitlines()[2:]]
        left = [f for f, line in zip(made, lines, strict=True) if line == "b"]
        return evolve(result, findings=(*left, *((bad,) if "c" in lines else ())))

    def anew(found: Result) -> tuple[Proposal, ...]:
        return tuple(p for p in proposals if p.finding in found.findings)

    trial = attempt(machine, evolve(result, findings=tuple(made)), proposals, check, anew)
    assert len(trial.applied) == 63
    ((refused, why),) = trial.refused
    assert refused.edits[0].replacement == "c"
    assert why == f"it would bring a new finding, {bad.rule}"
    assert checks <= 16
