"""`pwm-too-fast-for-software`."""

RULE = "pwm-too-fast-for-software"


def by_software(hz):
    return {("part.fan", "software_pwm"): True, ("part.fan", "pwm_hz"): hz}


def test_a_frequency_that_leaves_no_steps(machine, ask):
    """1 / (20000 Hz x 0.0001 s) = 0.5: no step at all; 1000 Hz is the highest with ten."""
    found = ask(RULE, machine(by_software(20000.0))).finding
    assert "asks for 20000 Hz by software, which leaves 0 steps" in found.message
    assert found.numbers[0].value == 0
    assert found.changes[0].value == 1000.0


def test_near_miss_the_highest_that_still_has_ten_steps(machine, ask):
    asked = ask(RULE, machine(by_software(1000.0)))
    assert not asked.findings
    assert asked.agreed == {("part.fan", "pwm_hz")}


def test_a_hardware_timer_may_be_as_fast(machine, ask):
    spots = {("part.fan", "software_pwm"): False, ("part.fan", "pwm_hz"): 20000.0}
    assert not ask(RULE, machine(spots)).findings
