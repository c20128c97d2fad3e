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


def test_the_names_of_the_nets_tell_the_coils_too(machine, ask):
    """E0_1A and E0_1B are one coil, whether or not the driver lists them."""
    assert ask(RULE, machine(wiring=(CROSSED,))).finding.role == "extruder.motor"


def test_names_that_tell_nothing_are_asked_for(machine, ask):
    renamed = tuple(
        ("boards/heron-2.toml", form.format(f"X_{old}"), form.format(f"X{new}"))
        for old, new in (("1A", "A"), ("1B", "B"), ("2A", "C"), ("2B", "D"))
        for form in ("{}.driver", '"{}"')
    )
    assert ask(RULE, machine(wiring=renamed)).unchecked == {
        ("x.motor", "pin"): "nothing says which nets of driver X are one coil: list them as coils"
    }
