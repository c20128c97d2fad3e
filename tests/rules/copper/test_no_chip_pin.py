"""`no-chip-pin`."""

from pincheck.model.claim import PinValue
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
    assert found.severity is Severity.DANGER
    assert "The hot-end fan reaches no chip pin" in found.message
    assert "No setting of the firmware" in found.message
    assert found.advice


def test_near_miss_one_contact_less_of_several(machine, ask):
    assert not ask(RULE, machine(wiring=NEAR)).findings


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask(RULE, machine()).outcomes


STRAIGHT = (
    (
        "boards/lapwing-c.toml",
        "[connectors.hotend_fan]\npitch_mm = 3.96\nkeyed = true\ncontact_a = 5.0\n"
        'pins = ["24V", "FAN_HOTEND"]',
        "[connectors.hotend_fan]\npitch_mm = 3.96\nkeyed = true\ncontact_a = 5.0\n"
        'pins = ["24V", "GND"]',
    ),
)


def test_a_hot_end_fan_straight_on_the_supply_runs_always(machine, ask):
    absent = {("hotend.fan", "pin"): PinValue("-1", absent=True)}
    asked = ask(RULE, machine(absent, wiring=STRAIGHT))
    assert not asked.findings
    assert ("hotend.fan", "pin") in asked.agreed
    assert ("hotend.fan", "supply_v") in ask(
        "fan-voltage-differs", machine(absent, wiring=STRAIGHT)
    ).agreed


def test_one_that_the_firmware_means_to_switch_is_told(machine, ask):
    assert (
        "The hot-end fan reaches no chip pin" in ask(RULE, machine(wiring=STRAIGHT)).finding.message
    )


def test_a_part_fan_that_nothing_switches_is_told(machine, ask):
    wiring = tuple((f, a.replace("hotend_fan", "part_fan_a").replace("FAN_HOTEND", "FAN_PART"),
                    b.replace("hotend_fan", "part_fan_a")) for f, a, b in STRAIGHT)  # fmt: skip
    assert ask(RULE, machine({("part.fan", "pin"): None}, wiring=wiring)).findings
