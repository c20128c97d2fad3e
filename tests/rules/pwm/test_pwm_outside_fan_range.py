"""`pwm-outside-fan-range`."""

RULE = "pwm-outside-fan-range"
WIRING = (
    (
        "boards/heron-2.toml",
        "[connectors.filament]",
        '[connectors.fan4]\npins = ["GND", "24V", "", "FAN1"]\n\n[connectors.filament]',
    ),
    (
        "marsh-230-c.toml",
        "[fit.filament]",
        '[fit.four]\nrole = "controller.fan"\nat = "main.fan4"\npart = "fan-24v-4wire"\n\n'
        "[fit.filament]",
    ),
)


def at(hz, pin):
    return {("controller.fan", "pin"): pin("PB7"), ("controller.fan", "pwm_hz"): hz}


def test_an_ordinary_fan_frequency_on_a_pwm_input(machine, ask, pin):
    """The part takes 21000 to 28000 Hz; its middle is 24500 Hz."""
    found = ask(RULE, machine(at(250.0, pin), wiring=WIRING)).finding
    assert found.message == (
        "The board fan takes 21000 to 28000 Hz and gets 250 Hz: it whines, jumps between speeds or "
        "stands still."
    )
    assert found.changes[0].value == found.numbers[0].value == 24500.0


def test_near_miss_the_lowest_of_its_range(machine, ask, pin):
    asked = ask(RULE, machine(at(21000.0, pin), wiring=WIRING))
    assert not asked.findings
    assert asked.agreed == {("controller.fan", "pwm_hz")}


def test_two_wire_fans_have_no_range(machine, ask):
    assert not ask(RULE, machine({("part.fan", "pwm_hz"): 250.0})).outcomes


def test_a_frequency_that_no_line_gives_is_not_checked(machine, ask, pin):
    case = machine({("controller.fan", "pin"): pin("PB7")}, wiring=WIRING)
    assert ("controller.fan", "pwm_hz") in ask(RULE, case).unchecked
