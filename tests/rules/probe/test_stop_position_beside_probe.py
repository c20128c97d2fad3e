"""`stop-position-beside-probe`."""

import pytest

BY_PROBE = "endstop_pin: probe:z_virtual_endstop   ; the probe homes Z\n"


@pytest.mark.parametrize(
    ("replaced", "told"),
    [
        (("machine.cfg", BY_PROBE, f"{BY_PROBE}position_endstop: 0.5\n"), True),
        (("machine.cfg", BY_PROBE, f"{BY_PROBE}#position_endstop: 0.5\n"), False),
        (("machine.cfg", "position_endstop: -4", "position_endstop: -3"), False),
    ],
)
def test_an_axis_that_homes_by_the_probe_has_no_stop_of_its_own(demo, replaced, told):
    found = demo("section", replaced).findings
    assert [(f.rule, f.role) for f in found] == [("stop-position-beside-probe", "z.endstop")] * told
    assert all(f.changes[0].value is None for f in found)
