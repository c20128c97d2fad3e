"""Findings, agreements and what could not be checked come to one verdict for each spot."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from attrs import evolve

from pincheck import api
from pincheck.analysis.case import Case
from pincheck.analysis.roles import strikes
from pincheck.check import judge, trace_of
from pincheck.model.claim import Claim, Claims, PinValue
from pincheck.model.finding import (
    Agreement,
    Finding,
    Outcome,
    Result,
    Severity,
    Unchecked,
)
from pincheck.model.reading import Reading
from pincheck.model.wiring import Assembly
from pincheck.rules.rule import Example, Rule

NOTHING = Reading("define", (), ())
EXAMPLE = Example("define", ())


def assembly() -> Assembly:
    return api.load_wiring(api.demo("marsh-230-c.toml"))


def judged(*outcomes: Outcome, wiring: Assembly | None = None) -> Result:
    """Judge by one rule that yields these outcomes."""

    def check(_: Case) -> Iterator[Outcome]:
        yield from outcomes

    wired = wiring or assembly()
    rule = Rule("r", "pins", Severity.FAULT, "", "", "", EXAMPLE, EXAMPLE, check)
    return judge(Case(Claims("define"), trace_of(wired), wired), NOTHING, (rule,))


def state(result: Result, role: str, attribute: str) -> tuple[str, str]:
    verdict = next(result.of(role, attribute))
    return verdict.state, verdict.reason


def finding(severity: Severity, *spots: tuple[str, str], says: str = "It breaks.") -> Finding:
    return Finding(spots, says, "r", severity, strikes(spots[0][0]))


def test_one_finding_outweighs_any_agreement():
    against = finding(Severity.DANGER, ("part.fan", "pin"), ("hotend.fan", "pin"))
    result = judged(Agreement("part.fan", "pin"), against)
    assert state(result, "part.fan", "pin") == ("contradicts", "")
    verdict = next(result.of("hotend.fan", "pin"))
    assert verdict.findings == (against,)
    assert verdict.severity is Severity.DANGER


def test_what_could_not_be_checked_never_agrees_by_itself():
    result = judged(Unchecked("part.fan", "pin", "a file was not sent"))
    assert state(result, "part.fan", "pin") == ("not checked", "a file was not sent")


def test_what_one_rule_could_not_check_no_other_makes_agree():
    """Two rules ask two questions of one spot, and one of them stays open."""
    open_ = Unchecked("hotend.sensor", "pin", "nobody knows the converter inputs of the chip")
    result = judged(Agreement("hotend.sensor", "pin"), open_)
    assert state(result, "hotend.sensor", "pin") == ("not checked", open_.reason)


def test_every_fitted_role_has_a_verdict_on_its_pin():
    result = judged()
    wired = {w.role for w in result.trace.wired} - {"hotend.block", "bed.plate"}
    assert {v.role for v in result.verdicts} == wired
    assert {v.state for v in result.verdicts} == {"not checked"}
    assert all(v.reason for v in result.verdicts)


def test_no_pin_beside_nothing_fitted_needs_no_verdict():
    wired = assembly()
    for pin, told in ((PinValue("-1", absent=True), []), (PinValue("PB9"), ["not checked"])):
        claimed = Claims("define", (Claim("chamber.fan", "pin", pin),))
        result = judge(Case(claimed, trace_of(wired), wired), NOTHING, ())
        assert [verdict.state for verdict in result.of("chamber.fan", "pin")] == told


def test_findings_come_as_they_strike_worst_first_then_in_the_order_of_the_roles():
    result = judged(
        finding(Severity.ADVICE, ("hotend.heater", "pin"), says="a"),
        finding(Severity.DANGER, ("part.fan", "pin"), says="b"),
        finding(Severity.DANGER, ("hotend.fan", "pin"), says="c"),
        finding(Severity.FAULT, ("hotend.heater", "pin"), says="d"),
        finding(Severity.DANGER, ("bed.heater", "pin"), says="e"),
        finding(Severity.FAULT, ("z.endstop", "pin"), says="f"),
    )
    assert [f.message for f in result.findings] == ["c", "e", "d", "a", "f", "b"]


def test_a_mark_in_a_drafted_wiring_takes_the_agreement_of_what_hangs_on_it():
    """The mark stands in the fit of the hot-end fan: the part fan's wiring is still a basis."""
    wired = assembly()
    fit = next(fit for fit in wired.fits if fit.role == "hotend.fan")
    draft = evolve(wired, unverified=(f"{fit.at.source}:{fit.at.line}",))
    result = judged(Agreement("hotend.fan", "pin"), Agreement("part.fan", "pin"), wiring=draft)
    kind, reason = state(result, "hotend.fan", "pin")
    assert kind == "not checked"
    assert "is a draft, marked as unverified at marsh-230-c.toml:" in reason
    assert state(result, "part.fan", "pin")[0] == "agrees"


def test_a_mark_at_a_cable_reaches_every_part_behind_it():
    wired = assembly()
    cable = wired.cables[0]
    draft = evolve(wired, unverified=(f"{cable.at.source}:{cable.at.line}",))
    result = judged(Agreement("hotend.fan", "pin"), Agreement("bed.heater", "pin"), wiring=draft)
    assert state(result, "hotend.fan", "pin")[0] == "not checked"
    assert state(result, "bed.heater", "pin")[0] == "agrees"


def test_the_same_input_gives_the_same_result():
    machine = api.load_configuration(Path(api.demo("planted/section")))
    first, second = (api.check(machine, assembly()) for _ in range(2))
    assert first.findings == second.findings
    assert first.verdicts == second.verdicts


def test_a_file_not_sent_takes_agreement_away_and_leaves_findings_standing(tmp_path: Path) -> None:
    """A late include could override: what contradicts is told with that caveat, no spot agrees."""
    text = (api.demo("clean/section") / "toolhead.cfg").read_text()
    main = (api.demo("clean/section") / "machine.cfg").read_text()
    (tmp_path / "toolhead.cfg").write_text(text.replace("[fan]\npin: PB8", "[fan]\npin: PB7"))
    (tmp_path / "machine.cfg").write_text(main + "\n[include later.cfg]\n")
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    result = api.check(api.load_configuration(tmp_path), assembly)
    assert [finding.rule for finding in result.findings] == ["pin-differs"]
    assert result.findings[0].claims[0].caveat == "later.cfg was not sent and could override it"
    agreed = [(v.role, v.attribute) for v in result.verdicts if v.state == "agrees"]
    claims = [claim for spot in agreed if (claim := result.claims.find(*spot))]
    assert not any(claim.caveat for claim in claims)
    (verdict,) = result.of("hotend.heater", "max_c")
    assert "later.cfg" in verdict.reason


@pytest.mark.parametrize(
    ("key", "spot", "reason"),
    [
        ("max_temp", ("hotend.heater", "max_c"), "the files set no highest temperature"),
        ("min_temp", ("hotend.sensor", "min_c"), "the files set no lowest temperature"),
    ],
)
def test_a_heater_without_a_limit_is_not_checked(
    tmp_path: Path, key: str, spot: tuple[str, str], reason: str
) -> None:
    """A section that lacks the key is no agreement; the bed's own, which is there, agrees."""
    folder = shutil.copytree(api.demo("clean/section"), tmp_path / "section")
    head = folder / "toolhead.cfg"
    lines = head.read_text().splitlines(keepends=True)
    head.write_text("".join(line for line in lines if not line.startswith(key)))
    result = api.check(api.load_configuration(folder), assembly())
    assert result.findings == ()
    assert state(result, *spot) == ("not checked", reason)
    assert state(result, "bed.heater", spot[1]) == ("agrees", "")


def test_a_plug_the_wrong_way_round_is_told_and_no_pin_is_bent_to_fit_it(tmp_path: Path) -> None:
    """While the copper joins two supplies, no edit of a configuration can be right."""
    shutil.copytree(api.demo("."), tmp_path, dirs_exist_ok=True)
    wiring = tmp_path / "marsh-230-c.toml"
    wiring.write_text(wiring.read_text().replace('wiring = "straight"', 'wiring = "mirrored"'))
    machine = api.load_configuration(tmp_path / "clean" / "section")
    result = api.check(machine, api.load_wiring(wiring))
    assert {finding.rule for finding in result.findings} == {"supplies-joined"}
    assert not any(proposal.edits for proposal in api.propose(result))
    (verdict,) = result.of("hotend.heater", "pin")
    assert verdict.reason == "a supply is where none belongs on its way: mend the wiring first"


def mirrored() -> Assembly:
    """Return the demo's wiring with its ribbon plugged in the other way round."""
    wiring = assembly()
    (cable,) = wiring.cables
    last = len(cable.pairs)
    pairs = tuple((here, last + 1 - here) for here, _ in cable.pairs)
    return evolve(wiring, cables=(evolve(cable, pairs=pairs, wiring="mirrored"),))


def test_behind_a_cable_that_joins_supplies_only_the_cable_is_told():
    """Pins set to match it would be wrong as soon as it is plugged in right."""
    machine = api.load_configuration(api.demo("clean/section"))
    result = api.check(machine, mirrored())
    assert {f.rule for f in result.findings} <= {"supplies-joined", "supply-on-signal"}
    assert result.findings
    for role in ("hotend.heater", "part.fan", "probe.signal"):
        assert state(result, role, "pin")[0] == "not checked"
        assert "mend the wiring first" in state(result, role, "pin")[1]
    assert state(result, "x.motor", "pin") == ("agrees", "")
    assert state(result, "hotend.heater", "max_c") == ("agrees", "")


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
@pytest.mark.parametrize("role", ["hotend.heater", "bed.sensor", "hotend.fan", "probe.signal"])
def test_what_nobody_knows_is_neither_right_nor_missing(style: str, role: str):
    """Not fitted is a fault, unknown is not checked: all of it, and the answer names it."""
    machine = api.load_configuration(api.demo("clean") / style)
    whole = assembly()
    rest = tuple(fit for fit in whole.fits if fit.role != role)
    unknown = (role, "probe.servo") if role == "probe.signal" else (role,)
    result = api.check(machine, evolve(whole, fits=rest, unknown=unknown))
    assert result.findings == ()
    found = [verdict for verdict in result.verdicts if verdict.role in unknown]
    assert {verdict.state for verdict in found} == {"not checked"}
    assert role in {verdict.role for verdict in result.unjudged}
