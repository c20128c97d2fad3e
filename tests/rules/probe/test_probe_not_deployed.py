"""`probe-not-deployed`."""

import pytest

from pincheck.model.finding import Severity

RULE = "probe-not-deployed"
DOWN, UP = "M280 P0 S10\n", "M280 P0 S90\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("G4 P50\n", "sends it no command"),
        (f";{DOWN}", "sends it no command"),
        (UP, "lets its servo stow it"),
        (DOWN + UP, "lets its servo stow it"),
        ('M98 P"pin.g"\n', "lets its servo stow it"),
    ],
)
def test_a_pin_that_stays_up(scripts, text: str, told: str) -> None:
    (finding,) = scripts(deployprobe=text, retractprobe=UP, pin=UP).findings
    assert (finding.rule, finding.severity) == (RULE, Severity.DANGER)
    assert finding.message == (
        f"The script that is to deploy the probe {told}: the pin stays up, and homing drives the "
        f"nozzle into the bed."
    )


def test_a_pin_that_stays_down(scripts) -> None:
    (finding,) = scripts(deployprobe=DOWN, retractprobe=DOWN).findings
    assert (finding.spots, finding.severity) == ((("probe.servo", "stowed_by"),), Severity.FAULT)


def test_the_line_that_is_commented_out_is_named(scripts) -> None:
    (finding,) = scripts(deployprobe=f"G4 P100\n;{DOWN}").findings
    assert finding.span
    assert (finding.span.source, finding.span.line) == ("deployprobe.g", 2)


@pytest.mark.parametrize(
    "files",
    [
        {"deployprobe": DOWN, "retractprobe": UP},
        {"deployprobe": "M280 P0 S650\n", "retractprobe": "M280 P0 S1475\n"},
        {"deployprobe": f"{UP}G4 P200\n{DOWN}"},
        # the script with the probe's number is the one that runs
        {"deployprobe": UP, "deployprobe0": DOWN},
        {"deployprobe1": UP},
        {},
    ],
)
def test_near_miss_scripts_that_do_it_or_were_not_sent(scripts, files: dict[str, str]) -> None:
    assert not scripts(**files).findings


@pytest.mark.parametrize(
    ("text", "why"),
    [("M280 P0 S45\n", "'45' is not one of"), ("if param.A\n  M280 P0 S10\n", "only if param.A")],
)
def test_a_command_that_nobody_knows_is_not_checked(scripts, text: str, why: str) -> None:
    result = scripts(deployprobe=text)
    (verdict,) = [v for v in result.verdicts if v.attribute == "deployed_by"]
    assert not result.findings
    assert verdict.state == "not checked"
    assert why in verdict.reason
