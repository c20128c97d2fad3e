"""`driver-number-differs`."""

import pytest

from pincheck.model.finding import Severity

RULE = "driver-number-differs"
BOARD = "boards/heron-2.toml"
NUMBERED = [
    (BOARD, f"[drivers.{name}]\n", f"[drivers.{name}]\nnumber = {number}\n")
    for number, name in enumerate(("X", "Y", "Z", "E0"))
]
LIST = "M584 X0 Y1 Z2 E3"


def test_two_axes_that_move_each_other(demo):
    found = demo("gcode", *NUMBERED, ("config.g", LIST, "M584 X1 Y0 Z2 E3")).findings
    assert [(f.rule, f.role, f.severity) for f in found] == [
        (RULE, "x.motor", Severity.FAULT),
        (RULE, "y.motor", Severity.FAULT),
    ]
    assert "is moved by driver 1, and it hangs on driver 0: its commands move the y" in str(
        found[0].message
    )
    assert found[0].claims[0].setting.key == "X"


@pytest.mark.parametrize("line", ["", "M584 X0.0 Y0.1 Z0.2 E0.3", "M584 X0 Y1 Z2:4 E3"])
def test_near_miss_the_usual_numbers_and_a_driver_without_a_motor(demo, line):
    """Without the command the first four drivers are X, Y, Z and the extruder."""
    result = demo("gcode", *NUMBERED, ("config.g", LIST, line))
    assert not result.findings
    assert ("extruder.motor", "driver_number") in {
        (v.role, v.attribute) for v in result.verdicts if v.state == "agrees"
    }


def test_a_second_motor_that_no_list_names(demo):
    second = '[drivers.Z2]\nstep_pin = "PC6"\nnumber = 4\n\n[drivers.E0]\nnumber = 3\n'
    nets = "".join(f'Z2_{coil}.driver = "Z2"\n' for coil in ("1A", "1B", "2A", "2B"))
    pins = '["Z2_1A", "Z2_1B", "Z2_2A", "Z2_2B"]'
    socket = f"[connectors.motor_z2]\npins = {pins}\n\n[connectors.bed]\n"
    fit = '[fit.z2]\nrole = "z1.motor"\nat = "main.motor_z2"\npart = "motor-1a5"\n\n[limits.bed]'
    wiring = (
        *NUMBERED[:3],
        (BOARD, "[drivers.E0]\n", second),
        (BOARD, "[nets]\n", f"[nets]\n{nets}"),
        (BOARD, "[connectors.bed]\n", socket),
        ("marsh-230-c.toml", "[limits.bed]", fit),
    )
    (found,) = demo("gcode", *wiring).findings
    assert (found.rule, found.role) == (RULE, "z1.motor")
    assert "gives that to nothing" in found.message
    assert not demo("gcode", ("config.g", LIST, "M584 X0 Y1 Z2:4 E3")).findings
