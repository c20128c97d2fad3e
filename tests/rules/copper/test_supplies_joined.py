"""`supplies-joined`."""

from pincheck.model.finding import Severity

RULE = "supplies-joined"
WRONG = (
    (
        "boards/lapwing-c.toml",
        '"24V", "24V",                #  5  6',
        '"24V", "5V",                 #  5  6',
    ),
)
NEAR = (
    (
        "boards/lapwing-c.toml",
        '"GND", "GND",                # 11 12',
        '"GND", "",                   # 11 12',
    ),
)


def test_a_rail_of_24_v_on_the_one_of_5_v(machine, ask):
    found = ask(RULE, machine(wiring=WRONG)).finding
    assert found.severity is Severity.DANGER
    assert "24V" in found.message
    assert "5V" in found.message
    assert "joined" in found.message
    assert found.advice


def test_near_miss_a_contact_less_is_no_short(machine, ask):
    assert not ask(RULE, machine(wiring=NEAR)).findings


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask(RULE, machine()).outcomes
