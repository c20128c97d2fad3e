"""`fan-voltage-differs`."""

from pincheck.model.finding import Severity


def fitted(part):
    return (("marsh-230-c.toml", '"fan-24v-0a1"', f'"{part}"'),)


def test_a_12_v_fan_on_24_v(machine, ask):
    """Power goes with the cube: (24 / 12)^3 = 8.0."""
    found = ask("fan-voltage-differs", machine(wiring=fitted("fan-12v-0a1"))).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "The hot-end fan is made for 12 V and gets 24 V: it takes about 8.0 times its power and "
        "burns out (the hot end jams without it)."
    )
    assert found.numbers[0].value == 8.0


def test_near_miss_another_fan_of_the_same_voltage(machine, ask):
    asked = ask("fan-voltage-differs", machine(wiring=fitted("fan-24v-0a3")))
    assert not asked.findings
    assert ("hotend.fan", "supply_v") in asked.agreed


def test_quiet_on_the_clean_machine(machine, ask):
    assert not ask("fan-voltage-differs", machine()).findings
