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
