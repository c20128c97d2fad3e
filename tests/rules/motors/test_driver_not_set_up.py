"""`driver-not-set-up`."""

import pytest

RULE = "driver-not-set-up"
TYPED = ("boards/heron-2.toml", "[drivers.X]\n", '[drivers.X]\ntype = "tmc2209"\n')


def told(result):
    """Return what the rule says."""
    return [f.message for f in result.findings if f.rule == RULE]


@pytest.mark.parametrize(
    ("file", "old", "new", "what"),
    [
        ("machine.h", "#define X_DRIVER_TYPE  TMC2209", "#define X_DRIVER_TYPE A4988", "A4988"),
        ("machine.h", "#define X_DRIVER_TYPE  TMC", "//#define X_DRIVER_TYPE TMC", "A4988"),
        ("machine_adv.h", "#define X_CURRENT       900", "", "no current"),
        ("machine_adv.h", "X_CURRENT       900", "X_CURRENT 0", "no current at all"),
    ],
)
def test_a_driver_that_headers_do_not_set_up(demo, file, old, new, what):
    (message,) = told(demo("define", TYPED, (file, old, new)))
    assert message.startswith(f"The x motor hangs on a tmc2209, and the firmware sets up {what}")


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("[tmc2209 stepper_x]", "[tmc5160 stepper_x]", "tmc5160 (machine.cfg:31)"),
        ("[tmc2209 stepper_x]", "[tmc2209 stepper_u]", "no driver that it could talk to"),
    ],
)
def test_a_driver_of_another_section_or_of_none(demo, old, new, what):
    (message,) = told(demo("section", TYPED, ("machine.cfg", old, new)))
    assert message.startswith(f"The x motor hangs on a tmc2209, and the firmware sets up {what}")


@pytest.mark.parametrize(
    ("style", "replaced"),
    [
        ("define", (TYPED,)),
        ("section", (TYPED,)),
        ("section", (TYPED, ("machine.cfg", "tmc2209 stepper_x", "tmc2226 stepper_x"))),
        ("define", (("machine.h", "X_DRIVER_TYPE  TMC2209", "X_DRIVER_TYPE A4988"),)),
    ],
)
def test_near_miss_the_fitted_chip_and_a_driver_with_a_trimmer(demo, style, replaced):
    assert told(demo(style, *replaced)) == []


def test_a_driver_with_a_trimmer_answers_on_no_wire(demo):
    own = ("boards/heron-2.toml", "[drivers.X]\n", '[drivers.X]\ntype = "a4988"\n')
    (found,) = demo("section", own).findings
    assert (found.rule, found.role) == (RULE, "x.motor")
    plain = ("machine.h", "X_DRIVER_TYPE  TMC2209", "X_DRIVER_TYPE  A4988")
    assert not demo("define", own, plain).findings


def test_scripts_that_set_no_current_for_one_of_the_motors(scripts):
    (found,) = scripts((" E990 I40", " I40")).findings
    assert (found.rule, found.role) == (RULE, "extruder.motor")
