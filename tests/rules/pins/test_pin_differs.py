"""`pin-differs`."""

from pincheck.model.claim import Doubt
from pincheck.model.finding import Severity


def test_of_a_part_without_wires_no_pin_is_asked(machine, ask):
    """A file not sent leaves many pins open, but a heater block has none."""
    asked = ask("pin-differs", machine(doubts=(Doubt("more.cfg was not sent"),)))
    assert not {role for role, _ in asked.unchecked} & {"hotend.block", "bed.plate"}


def test_a_part_on_another_pin_is_named_with_both_pins_and_the_consequence(machine, ask, pin):
    """PB7 is FAN1 of the mainboard, which leads nowhere on this revision."""
    found = ask("pin-differs", machine({("part.fan", "pin"): pin("PB7")})).finding
    assert found.severity is Severity.FAULT
    assert found.message == (
        "Firmware drives the part fan on PB7, but it is wired to PB8: the part fan never turns "
        "(overhangs and bridges sag)."
    )
    assert found.spots == (("part.fan", "pin"), ("part1.fan", "pin"))
    assert [(c.role, c.attribute, str(c.value.place)) for c in found.changes] == [
        ("part.fan", "pin", "PB8 of main")
    ]
    assert "FAN_PART" not in found.message
    assert "part_fan_a" in found.facts[0].path.line()


def test_the_clean_machine_agrees_on_every_wired_pin(machine, ask):
    case = machine()
    asked = ask("pin-differs", case)
    assert not asked.findings
    parts = {wired.role for wired in case.trace.wired} - {"hotend.block", "bed.plate"}
    assert {role for role, _ in asked.agreed} == parts


def test_near_miss_a_second_fan_on_the_same_switch_needs_no_claim(machine, ask):
    assert ("part1.fan", "pin") in ask("pin-differs", machine()).agreed


def test_a_sensor_on_the_pin_of_another_is_a_danger(machine, ask, pin):
    case = machine({("hotend.sensor", "pin"): pin("PC4"), ("bed.sensor", "pin"): None})
    found = ask("pin-differs", case).finding
    assert found.severity is Severity.DANGER
    assert "takes the bed sensor's reading for the hot-end sensor's" in found.message


def test_what_is_not_certain_is_not_checked(machine, ask, pin, possible):
    rival = possible("part.fan", "pin", pin("PB7"))
    asked = ask("pin-differs", machine(also=(rival,)))
    assert not asked.findings
    assert asked.unchecked["part.fan", "pin"] == "KEY holds only if EXTRA_FAN"
    case = machine({("part.fan", "pin"): None}, doubts=(Doubt("the pins header was not sent"),))
    assert ask("pin-differs", case).unchecked["part.fan", "pin"] == "the pins header was not sent"


def test_a_cable_shifted_by_a_row_is_told_by_both_ends(machine, ask):
    """From pin 11 on every wire is one further: a part can hang on a rail and be driven by none."""
    pairs = [[pin, pin + (pin > 10)] for pin in range(1, 16)]
    cable = 'to = "tool.link"\nwiring = "straight"'
    shifted = cable.replace('"straight"', str(pairs))
    asked = ask("pin-differs", machine(wiring=[("marsh-230-c.toml", cable, shifted)]))
    servo = next(f for f in asked.findings if f.spots[0][0] == "probe.servo")
    assert servo.message.startswith(
        "Firmware drives the probe servo on PA1, but no chip pin reaches it (probe 3 of Lapwing C "
        "is on GND of Heron 2): the probe servo never moves"
    )
    assert servo.severity is Severity.DANGER
    assert not servo.changes
