"""`role-not-configured`."""

import shutil

import pytest
from attrs import evolve

from pincheck import api
from pincheck.model.claim import Claim, Doubt, PinValue
from pincheck.model.finding import Severity

WIRING = api.demo("marsh-230-c.toml")


def test_a_fitted_part_without_a_pin(machine, ask):
    found = ask("role-not-configured", machine({("probe.servo", "pin"): None})).finding
    assert found.message == (
        "Nothing in the configuration uses PA1, where the probe servo is wired: it never moves "
        "(the probe stays up, homing drives the nozzle into the bed)."
    )
    assert found.changes[0].claim is None
    assert found.changes[0].value.place.pin == "PA1"


def test_a_pin_that_some_other_section_uses_is_not_called_unused(machine, ask, pin):
    case = machine({("probe.servo", "pin"): None})
    elsewhere = (Claim("", "pin", pin("PA1"), origin="machine.cfg:9"),)
    asked = ask(
        "role-not-configured", evolve(case, claims=evolve(case.claims, elsewhere=elsewhere))
    )
    assert not asked.findings
    assert asked.unchecked["probe.servo", "pin"].startswith("machine.cfg:9 uses PA1")


def test_no_pin_at_all_counts_as_none(machine, ask):
    case = machine({("probe.servo", "pin"): PinValue("-1", absent=True)})
    assert ask("role-not-configured", case).finding.changes[0].claim.value.written == "-1"


def test_near_miss_the_second_fan_of_a_switch_and_a_fan_claimed_elsewhere(machine, ask, pin):
    assert not ask("role-not-configured", machine()).findings
    case = machine({("part.fan", "pin"): pin("PB7")})
    assert not ask("role-not-configured", case).findings


def test_absence_proves_nothing_when_a_file_is_missing(machine, ask):
    case = machine({("probe.servo", "pin"): None}, doubts=(Doubt("probe.cfg was not sent"),))
    asked = ask("role-not-configured", case)
    assert not asked.findings
    assert asked.unchecked["probe.servo", "pin"] == "probe.cfg was not sent"


def test_motors_that_the_style_gives_no_pins_are_not_checked(machine, ask):
    asked = ask("role-not-configured", machine({("x.motor", "pin"): None}))
    assert not asked.findings
    assert ("x.motor", "pin") in asked.unchecked


def test_a_second_fan_is_as_uncertain_as_the_first(machine, ask):
    unsure = Claim("part.fan", "pin", PinValue("tool:PB8"), unknown="no board is called tool")
    asked = ask("role-not-configured", machine({("part.fan", "pin"): unsure}))
    assert not asked.findings
    assert asked.unchecked["part1.fan", "pin"] == "no board is called tool"


@pytest.mark.parametrize(
    ("line", "rule"),
    [("control_pin: PA1", "role-not-configured"), ("pin: PB6", "hotend-fan-missing")],
)
def test_the_pin_commented_out_is_where_it_points(tmp_path, line, rule):
    shutil.copytree(api.demo("clean") / "section", tmp_path, dirs_exist_ok=True)
    file = tmp_path / "toolhead.cfg"
    right = file.read_text()
    assert right.count(f"\n{line}") == 1
    file.write_text(right.replace(f"\n{line}", f"\n#{line}"))
    machine, assembly = api.load_configuration(tmp_path), api.load_wiring(WIRING)
    result = api.check(machine, assembly)
    found = next(f for f in result.findings if f.rule == rule)
    shown = file.read_text().splitlines()[found.span.line - 1]
    assert shown.startswith(f"#{line}")
    (proposal,) = (p for p in api.propose(result) if p.finding is found)
    trial = api.try_edits(machine, assembly, (proposal,))
    assert not trial.result.findings
    tried = {source.name: source.text for source in trial.machine.sources}
    assert tried["toolhead.cfg"] == right


def test_parts_on_one_pin_are_one_finding(scripts):
    result = scripts(('M950 F0 C"fan2"', ';M950 F0 C"fan2"'))
    (finding,) = [f for f in result.findings if f.rule == "role-not-configured"]
    assert finding.roles == ("part.fan", "part1.fan")
    assert finding.span
    assert finding.span.line == 12


STOP = """[fit.z_endstop]
role = "z.endstop"
at = "main.stop_z"
part = "endstop-switch-nc"

[fit.filament]"""


@pytest.mark.parametrize(
    ("role", "wiring", "severity"),
    [
        ("probe.signal", (), Severity.DANGER),
        ("probe.servo", (), Severity.DANGER),
        ("probe.servo", (("marsh-230-c.toml", "[fit.filament]", STOP),), Severity.FAULT),
        ("part.fan", (), Severity.FAULT),
    ],
)
def test_a_probe_that_nothing_reads_or_deploys_is_a_danger(machine, ask, role, wiring, severity):
    """Unless Z has an end stop of its own, the nozzle goes on into the bed."""
    found = ask("role-not-configured", machine({(role, "pin"): None}, wiring=wiring)).findings
    assert [f.severity for f in found if f.role == role] == [severity]


def test_a_section_with_its_number_apart_is_none(demo):
    result = demo("section", ("toolhead.cfg", "[extruder]", "[extruder 0]"))
    (found,) = (f for f in result.findings if "is no section" in f.message)
    assert found.severity is Severity.FAULT
    assert "[extruder] is spelt nearly so" in found.message
    assert {("hotend.heater", "pin"), ("hotend.sensor", "pin")} <= set(found.spots)


def test_near_miss_a_section_that_an_add_on_may_know(demo):
    result = demo("section", ("toolhead.cfg", "[extruder]", "[extruder spare]"))
    assert not [f for f in result.findings if "is no section" in f.message]
    assert "hotend.heater" in {v.role for v in result.unjudged}
