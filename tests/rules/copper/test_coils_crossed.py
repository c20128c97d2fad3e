"""`coils-crossed`."""

from pincheck.model.finding import Severity
from pincheck.rules.copper.wiring_faults import COILS, CROSSED, TURNED

RULE = "coils-crossed"
SOCKET = "[connectors.extruder]\npitch_mm = 2.5\nkeyed = true\ncontact_a = 3.0\npins = "
ON_BOARD = (
    "boards/lapwing-c.toml",
    SOCKET + '["E_1A", "E_1B", "E_2A", "E_2B"]',
    SOCKET + '["E_1A", "E_2A", "E_1B", "E_2B"]',
)


def test_one_end_of_each_coil_exchanged_at_the_plug(machine, ask):
    found = ask(RULE, machine(wiring=(COILS, CROSSED))).finding
    assert found.severity is Severity.FAULT
    assert "driver E0 of Heron 2" in found.message
    assert "It hums and does not turn." in found.message


def test_the_breakout_crosses_them(machine, ask):
    assert ask(RULE, machine(wiring=(COILS, ON_BOARD))).finding.role == "extruder.motor"


def test_crossed_twice_is_right_again(machine, ask):
    assert not ask(RULE, machine(wiring=(COILS, ON_BOARD, CROSSED))).findings


def test_near_miss_a_coil_turned_round_only_turns_the_motor_the_other_way(machine, ask):
    assert not ask(RULE, machine(wiring=(COILS, TURNED))).findings
