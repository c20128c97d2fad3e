"""`pwm-clash`."""

RULE = "pwm-clash"
SWAP = (
    ("boards/heron-2.toml", '[nets.SERVO0]\nchip_pin = "PA1"', '[nets.SERVO0]\nchip_pin = "PB7"'),
    ("boards/heron-2.toml", '[nets.FAN1]\nchip_pin = "PB7"', '[nets.FAN1]\nchip_pin = "PA1"'),
)


def test_a_fan_and_the_servo_on_one_timer(machine, ask, pin):
    """PB6 and PB7 are channels of TIM4 only (data sheet): 250 Hz and 50 Hz cannot both be."""
    spots = {("probe.servo", "pin"): pin("PB7"), ("hotend.fan", "pwm_hz"): 250.0}
    found = ask(RULE, machine(spots, style="gcode", wiring=SWAP)).finding
    assert found.message == (
        "The hot-end fan on PB6 asks for 250 Hz and the probe servo on PB7 for 50 Hz, but TIM4 "
        "drives both pins at one frequency: the probe servo loses its 50 Hz and does not move."
    )
    assert not found.changes
    assert [(n.name, n.value, n.unit) for n in found.numbers] == [("frequency of TIM4", 50.0, "Hz")]


def test_near_miss_a_pin_with_a_timer_to_spare(machine, ask):
    """PB8 is TIM4 too, but also TIM10: nothing is certain."""
    spots = {("hotend.fan", "pwm_hz"): 250.0, ("part.fan", "pwm_hz"): 25000.0}
    asked = ask(RULE, machine(spots, style="gcode"))
    assert not asked.findings
    assert ("part.fan", "pwm_hz") in asked.agreed


def test_software_pwm_clashes_with_nothing(machine, ask, pin):
    spots = {
        ("probe.servo", "pin"): pin("PB7"),
        ("hotend.fan", "pwm_hz"): 250.0,
        ("hotend.fan", "software_pwm"): True,
    }
    assert not ask(RULE, machine(spots, style="section", wiring=SWAP)).findings


def test_two_fans_get_one_frequency_a_heater_and_a_fan_get_no_edit(machine, ask, pin):
    """25 kHz overheats a heater's switch, and a heater's few Hz make a fan stutter."""
    fans = (
        ("boards/heron-2.toml", 'chip_pin = "PB7"', 'chip_pin = "PB13"'),
        ("boards/heron-2.toml", 'chip_pin = "PB8"', 'chip_pin = "PB7"'),
    )
    spots = {
        ("part.fan", "pin"): pin("PB7"),
        ("hotend.fan", "pwm_hz"): 250.0,
        ("part.fan", "pwm_hz"): 25000.0,
    }
    (change,) = ask(RULE, machine(spots, style="gcode", wiring=fans)).finding.changes
    assert (change.attribute, change.value) in (("pwm_hz", 250.0), ("pwm_hz", 25000.0))
    heater = (
        ("boards/heron-2.toml", 'chip_pin = "PB7"', 'chip_pin = "PB13"'),
        ("boards/heron-2.toml", 'chip_pin = "PC8"', 'chip_pin = "PB7"'),
    )
    spots = {
        ("hotend.heater", "pin"): pin("PB7"),
        ("hotend.heater", "pwm_hz"): 11.0,
        ("hotend.fan", "pwm_hz"): 25000.0,
    }
    found = ask(RULE, machine(spots, style="gcode", wiring=heater)).finding
    assert set(found.roles) == {"hotend.heater", "hotend.fan"}
    assert not found.changes
