"""`no-chip-pin`."""

from pincheck.model.finding import Severity

RULE = "no-chip-pin"
WRONG = (
    (
        "boards/lapwing-c.toml",
        '"FAN_HOTEND", "",            #  7  8',
        '"", "",                      #  7  8',
    ),
)
NEAR = (
    (
        "boards/lapwing-c.toml",
        '"24V", "24V",                #  5  6',
        '"24V", "",                   #  5  6',
    ),
)


def test_a_pin_that_the_ribbon_does_not_carry(machine, ask):
    found = ask(RULE, machine(wiring=WRONG)).finding
    assert found.severity is Severity.FAULT
    assert "The hot-end fan reaches no chip pin" in found.message
    assert "No setting of the firmware" in found.message
    assert found.advice


def test_near_miss_one_contact_less_of_several(machine, ask):
    assert not ask(RULE, machine(wiring=NEAR)).findings


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask(RULE, machine()).outcomes
