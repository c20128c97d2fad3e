"""The demo: nothing found where all agrees, and exactly the planted faults where they are."""

import tomllib
from pathlib import Path

import pytest

from pincheck import api
from pincheck.model.finding import Result
from pincheck.rules.registry import rules

STYLES = ("define", "section", "gcode")
PLANTED = tomllib.loads((Path(__file__).parent / "planted.toml").read_text(encoding="utf-8"))


def checked(folder: str, assembly: str = "marsh-230-c.toml") -> Result:
    """Check one of the demo's configurations."""
    machine = api.load_configuration(api.demo(folder))
    return api.check(machine, api.load_wiring(api.demo(assembly)))


@pytest.mark.parametrize(
    ("folder", "assembly"),
    [(f"clean/{style}", "marsh-230-c.toml") for style in STYLES]
    + [("clean/section-curlew", "marsh-230-curlew.toml")],
)
def test_nothing_is_found_where_all_agrees(folder, assembly):
    result = checked(folder, assembly)
    assert [finding.message for finding in result.findings] == []
    assert not result.problems
    assert result.tally("contradicts") == 0
    assert result.tally("agrees") >= 55
    assert result.tally("not checked") <= 8


@pytest.mark.parametrize("style", STYLES)
def test_exactly_the_planted_faults_are_found(style):
    found = [
        {
            "rule": finding.rule,
            "severity": finding.severity.word,
            "when": finding.when.words,
            "roles": list(finding.roles),
            "file": finding.span.source if finding.span else "",
            "line": finding.span.line if finding.span else 0,
            "numbers": [round(number.value, 1) for number in finding.numbers],
        }
        for finding in checked(f"planted/{style}").findings
    ]
    assert found == PLANTED[style]


def test_a_fault_of_every_family_that_a_configuration_can_have_is_planted():
    of = {rule.id: rule.family for rule in rules()}
    planted = {of[entry["rule"]] for style in STYLES for entry in PLANTED[style]}
    assert planted == set(of.values()) - {"copper"}


@pytest.mark.parametrize("style", STYLES)
def test_what_strikes_first_stands_first_and_no_spot_both_ways(style):
    result = checked(f"planted/{style}")
    placed = [(finding.when, -finding.severity) for finding in result.findings]
    assert placed == sorted(placed)
    spots = [(verdict.role, verdict.attribute) for verdict in result.verdicts]
    assert len(spots) == len(set(spots))
    told = [told for finding in result.findings for told in finding.all]
    against = {spot for finding in told for spot in finding.spots}
    contradicted = {(v.role, v.attribute) for v in result.verdicts if v.state == "contradicts"}
    assert against == contradicted
