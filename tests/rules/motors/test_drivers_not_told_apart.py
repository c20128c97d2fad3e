"""`drivers-not-told-apart`."""

import pytest

RULE = "drivers-not-told-apart"
Y = "uart_pin: PB14"


def test_two_drivers_on_one_line(demo):
    (found,) = demo("section", ("machine.cfg", Y, "uart_pin: PB13")).findings
    assert (found.rule, found.claims[0].setting.section) == (RULE, "tmc2209 stepper_y")
    assert "both set up at PB13, address 0" in found.message


@pytest.mark.parametrize("more", ["uart_address: 3", "select_pins: PC6"])
def test_near_miss_an_address_or_a_switch_tells_them_apart(demo, more):
    assert not demo("section", ("machine.cfg", Y, f"uart_pin: PB13\n{more}")).findings


def test_headers_with_one_address_for_two(demo):
    lines = "".join(
        f"#define {axis}_SERIAL_TX_PIN PB13\n#define {axis}_SLAVE_ADDRESS {number}\n"
        for axis, number in (("X", 1), ("Y", 1), ("Z", 2))
    )
    mark = "#define PINS_DEBUGGING"
    (found,) = demo("define", ("machine_adv.h", mark, f"{mark}\n{lines}")).findings
    assert (found.rule, {role for role, _ in found.spots}) == (RULE, {"x.motor", "y.motor"})
