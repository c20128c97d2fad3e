"""`supply-missing`."""

from pincheck.model.finding import Severity

RULE = "supply-missing"
WRONG = (("boards/lapwing-c.toml", '"GND", "5V", "SERVO"', '"GND", "", "SERVO"'),)
NEAR = (
    (
        "boards/lapwing-c.toml",
        '"GND", "5V", "SERVO", "GND", "PROBE"',
        '"GND", "5V", "SERVO", "AGND", "PROBE"',
    ),
)


def test_a_probe_without_its_5_v(machine, ask):
    found = ask(RULE, machine(wiring=WRONG)).finding
    assert found.severity is Severity.FAULT
    assert "The probe signal gets no supply" in found.message
    assert found.advice


def test_near_miss_either_ground_will_do(machine, ask):
    assert not ask(RULE, machine(wiring=NEAR)).findings


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask(RULE, machine()).outcomes


def test_a_probe_whose_ground_a_switch_drives(machine, ask):
    """Of a fan's switch its ground is open while the fan is off: told once for both grounds."""
    both = '"FAN_HOTEND", "5V", "SERVO", "FAN_HOTEND", "PROBE"'
    found = ask(RULE, machine(wiring=((*NEAR[0][:2], both),))).finding
    assert "has no way to ground: a switch drives FAN_HOTEND of Lapwing C" in found.message
