"""`pin-claimed-twice`."""

from pincheck.check import judge
from pincheck.model.finding import Severity
from pincheck.model.reading import Reading
from pincheck.rules.registry import rules


def test_the_claim_whose_part_is_elsewhere_is_moved(machine, pin):
    case = machine({("part.fan", "pin"): pin("PB6")})
    result = judge(case, Reading("define", (), ()), rules())
    assert [finding.rule for finding in result.findings] == ["pin-claimed-twice"]
    found = result.findings[0]
    assert [claim.role for claim in found.claims] == ["part.fan", "hotend.fan"]
    assert found.message.startswith(
        "PB6 is claimed for the part fan and for the hot-end fan (made:10); the part fan is wired "
        "to PB8"
    )
    assert [(c.role, c.value.place.pin) for c in found.changes] == [("part.fan", "PB8")]


def test_a_function_without_a_part_on_a_used_pin(machine, ask, pin):
    found = ask("pin-claimed-twice", machine({("controller.fan", "pin"): pin("PB6")})).finding
    assert "the board fan is not in the wiring" in found.message
    assert not found.changes


def test_two_functions_without_parts_are_named_once(machine, ask, pin):
    spots = {("controller.fan", "pin"): pin("PB7"), ("aux.output", "pin"): pin("PB7")}
    assert ask("pin-claimed-twice", machine(spots)).finding.role == "aux.output"


def test_of_two_claims_with_no_part_there_the_one_wired_elsewhere_is_named(machine, ask, pin):
    spots = {("probe.signal", "pin"): pin("PB14"), ("aux.output", "pin"): pin("PB14")}
    found = ask("pin-claimed-twice", machine(spots)).finding
    assert found.role == "probe.signal"
    assert "the probe signal is wired to PB1" in found.message
    assert [(c.role, c.value.place.pin) for c in found.changes] == [("probe.signal", "PB1")]


def test_a_heater_watched_by_another_heaters_sensor_is_a_danger(machine, ask, pin):
    found = ask("pin-claimed-twice", machine({("hotend.sensor", "pin"): pin("PC4")})).finding
    assert found.severity is Severity.DANGER


def test_near_miss_an_end_stop_may_share_the_probes_pin(machine, ask, pin):
    case = machine({("z.endstop", "pin"): pin("PB1")})
    assert not ask("pin-claimed-twice", case).findings


def test_quiet_when_every_role_has_its_own(machine, ask):
    assert not ask("pin-claimed-twice", machine()).findings
