"""`pwm-not-possible`."""

RULE = "pwm-not-possible"
NET = '[nets.FAN2]\nchip_pin = "PB8"'
WIRING = (("boards/heron-2.toml", NET, NET.replace("PB8", "PC13")),)


def test_hardware_pwm_on_a_pin_without_a_timer(machine, ask, pin):
    spots = {("part.fan", "pin"): pin("PC13"), ("part.fan", "software_pwm"): False}
    found = ask(RULE, machine(spots, wiring=WIRING)).finding
    assert found.message.startswith("PC13 is the output of no hardware timer")
    assert [(c.attribute, c.value) for c in found.changes] == [("software_pwm", True)]


def test_near_miss_the_same_pin_by_software(machine, ask, pin):
    spots = {("part.fan", "pin"): pin("PC13"), ("part.fan", "software_pwm"): True}
    assert not ask(RULE, machine(spots, wiring=WIRING)).findings


def test_quiet_on_a_pin_with_a_timer(machine, ask):
    assert not ask(RULE, machine({("part.fan", "software_pwm"): False})).findings


def test_a_frequency_beyond_the_timers_own_clock(machine, ask):
    """84 MHz / 250 MHz = 0.3: no step at all."""
    spots = {("part.fan", "software_pwm"): False, ("part.fan", "pwm_hz"): 250e6}
    found = ask(RULE, machine(spots)).finding
    assert "The part fan asks for 250000000 Hz" in found.message
    assert "leaves 0 steps between off and full" in found.message
    assert [n.value for n in found.numbers] == [0]
    assert [(c.attribute, c.value) for c in found.changes] == [("pwm_hz", 250.0)]


def test_near_miss_ten_steps_left(machine, ask):
    """84 MHz / 8.4 MHz = 10."""
    spots = {("part.fan", "software_pwm"): False, ("part.fan", "pwm_hz"): 8.4e6}
    assert not ask(RULE, machine(spots)).findings


def test_near_miss_a_frequency_too_low_for_a_narrow_counter(machine, ask):
    """What a prescaler of the firmware's choice makes of 1 Hz nobody can say."""
    spots = {("part.fan", "software_pwm"): False, ("part.fan", "pwm_hz"): 1.0}
    assert not ask(RULE, machine(spots)).findings
