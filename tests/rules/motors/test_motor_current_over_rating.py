"""`motor-current-over-rating`."""

RULE = "motor-current-over-rating"


def test_more_than_the_motor_is_made_for(machine, ask):
    """1.2 A on a motor of 1.0 A: (1.2 / 1.0)^2 = 1.44 times the heat."""
    found = ask(RULE, machine({("extruder.motor", "current_a"): 1.2})).finding
    assert found.message.startswith(
        "The extruder motor gets 1.20 A, but the motor may carry 1.00 A: 1.4 times the heat"
    )
    assert [round(n.value, 2) for n in found.numbers] == [1.2, 1.44]
    assert found.changes[0].value == 1.0


def test_a_wrong_sense_resistor_hides_the_real_current(machine, ask):
    """0.8 A x (0.22 + 0.02) / (0.11 + 0.02) = 1.477 A; (1.477 / 1.0)^2 = 2.18 times the heat."""
    spots = {("extruder.motor", "sense_ohm"): 0.22}
    found = ask(RULE, machine(spots)).finding
    assert "gets 1.48 A (shown as 0.80 A)" in found.message
    assert "2.2 times the heat" in found.message
    assert [round(n.value, 3) for n in found.numbers] == [1.477, 2.181]


def test_each_rating_has_a_consequence_of_its_own(machine, ask):
    """1.4 A in a motor for 1.5 A on a driver of 1.2 A: (1.4 / 1.2)^2 = 1.36 times the heat."""
    pin = 'enable_pin = "PB5"\nmax_a = '
    wiring = (
        ("marsh-230-c.toml", 'at = "tool.extruder"\npart = "motor-1a0"',
         'at = "tool.extruder"\npart = "motor-1a5"'),
        ("boards/heron-2.toml", f"{pin}2.0", f"{pin}1.2"),
        ("marsh-230-c.toml", "awg = 26, length_m = 0.6", "awg = 22, length_m = 0.6"),
    )  # fmt: skip
    found = ask(RULE, machine({("extruder.motor", "current_a"): 1.4}, wiring=wiring)).finding
    assert found.message == (
        "The extruder motor gets 1.40 A, but its driver may carry 1.20 A: 1.4 times the heat; it "
        "switches itself off when hot, and steps are lost."
    )
    assert found.numbers[1].inputs[1].origin == "rating: its driver"


def test_a_current_that_nothing_sets_is_not_checked(machine, ask):
    """A driver that takes its current over a wire then runs at whatever its chip starts with."""
    asked = ask(RULE, machine({("extruder.motor", "current_a"): None}))
    assert not asked.findings
    assert ("extruder.motor", "current_a") not in asked.agreed
    assert "set no current" in asked.unchecked[("extruder.motor", "current_a")]


def test_near_miss_exactly_the_rating(machine, ask):
    asked = ask(RULE, machine({("extruder.motor", "current_a"): 1.0}))
    assert not asked.findings
    assert asked.agreed == {("extruder.motor", "current_a")}


def test_a_motor_through_a_thin_ribbon(machine, ask):
    """0.8 A in wires of 30 AWG, 0.86 A alone; twelve of the ribbon are warm: half of that."""
    thin = (("marsh-230-c.toml", "awg = 26, length_m = 0.6", "awg = 30, length_m = 0.6"),)
    found = ask(RULE, machine(wiring=thin)).finding
    assert "gets 0.80 A, but the E0_1A wire of 30 AWG may carry 0.43 A" in found.message
