"""`driver-line-differs`."""

import pytest

from pincheck.model.finding import Severity

RULE = "driver-line-differs"
UART = ("boards/heron-2.toml", 'enable_pin = "PA6"', 'enable_pin = "PA6"\nuart_pin = "PB13"')


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("dir_pin: !PA5", "dir_pin: !PC9", "direction of the x motor's driver is set to PC9"),
        ("enable_pin: !PA6", "enable_pin: !PC9", "has it at PA6"),
        ("enable_pin: !PA6", "enable_pin: PA6", "is on while PA6 is low"),
        ("uart_pin: PB13", "uart_pin: PC9", "has it at PB13"),
    ],
)
def test_a_wrong_pin_and_a_lost_sense_are_told_at_their_line(demo, old, new, says):
    (found,) = demo("section", UART, ("machine.cfg", old, new)).findings
    assert (found.rule, found.role, found.severity) == (RULE, "x.motor", Severity.FAULT)
    assert says in found.message
    assert found.claims[0].setting.value == new.partition(": ")[2]


@pytest.mark.parametrize("line", ["dir_pin: !PA5", "enable_pin: !PA6"])
def test_a_line_that_is_gone_is_told_at_the_steps(demo, line):
    (found,) = demo("section", ("machine.cfg", line, f"# {line}")).findings
    assert (found.rule, found.role) == (RULE, "x.motor")
    assert found.claims[0].near.key == "step_pin"
    assert "has no pin: the motor does not turn" in found.message


def test_a_name_that_no_pin_has(demo):
    (found,) = demo("section", ("machine.cfg", "dir_pin: !PA5", "dir_pin: !PA5x")).findings
    assert (found.rule, found.spots) == ("pin-name-unknown", (("x.motor", "dir_pin"),))


def test_without_a_line_of_the_users_the_boards_own_header_counts(demo):
    step = ("machine_adv.h", "#define PINS_DEBUGGING", "\n#define X_ENABLE_PIN PC9")
    result = demo("define", step)
    (found,) = [f for f in result.findings if f.rule == RULE]
    assert found.spots == (("x.motor", "enable_pin"),)
    agreed = {(v.role, v.attribute) for v in result.verdicts if v.state == "agrees"}
    assert {("x.motor", "dir_pin"), ("y.motor", "enable_pin")} <= agreed


def test_a_driver_that_is_on_while_high(demo):
    high = ("boards/heron-2.toml", 'enable_pin = "PA6"', 'enable_pin = "PA6"\nenable_high = true')
    (found,) = demo("section", high).findings
    assert found.advice == "Take the ! before the pin away."
    assert not demo(
        "section", high, ("machine.cfg", "enable_pin: !PA6", "enable_pin: PA6")
    ).findings


def test_near_miss_a_turned_direction_and_a_wiring_that_says_no_pins(demo):
    assert not demo("section", ("machine.cfg", "dir_pin: !PA5", "dir_pin: PA5")).findings
    bare = ("boards/heron-2.toml", 'dir_pin = "PA5"\n', "")
    assert not demo("section", bare, ("machine.cfg", "dir_pin: !PA5", "dir_pin: PC9")).findings


def test_the_level_that_enables_is_told_at_its_line(demo, scripts):
    (found,) = demo("define", ("machine.h", "X_ENABLE_ON 0", "X_ENABLE_ON 1")).findings
    assert (found.rule, found.role) == (RULE, "x.motor")
    assert "is enabled by a high level, and it is on while that is low" in found.message
    (found,) = scripts(("M569 P3 S0 ", "M569 P3 S0 R-1 ")).findings
    assert (found.rule, found.role) == (RULE, "extruder.motor")
    assert not scripts(("M569 P3 S0 ", "M569 P3 S0 R0 ")).findings


def test_an_address_and_a_chip_select_of_the_drivers_own(demo):
    line = 'enable_pin = "PA6"'
    own = ("boards/heron-2.toml", line, f'{line}\nuart_pin = "PB13"\nuart_address = 2')
    moved = ("machine.cfg", "uart_pin: PB13", "uart_pin: PB13\nuart_address: 1")
    (found,) = demo("section", own, moved).findings
    assert "set up at address 1, and it has 2" in found.message
    (found,) = demo(
        "define",
        ("boards/heron-2.toml", line, f'{line}\ncs_pin = "PB13"'),
        ("machine_adv.h", "#define PINS_DEBUGGING", "\n#define X_CS_PIN PC9"),
    ).findings
    assert "chip select of the x motor's driver is set to PC9" in found.message
