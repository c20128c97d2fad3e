"""`probe-servo-supply`."""

from pincheck.model.finding import Severity

RULE = "probe-servo-supply"
PINS = '"GND", "5V", "SERVO"'


def test_a_5_v_probe_on_24_v(machine, ask):
    wiring = (("boards/lapwing-c.toml", PINS, PINS.replace("5V", "24V")),)
    found = ask(RULE, machine(wiring=wiring)).finding
    assert found.severity is Severity.DANGER
    assert found.message == (
        "The probe signal is made for 4.5 to 5.5 V and gets 24 V: it is destroyed at power-on."
    )
    assert found.roles == ("probe.signal", "probe.servo")


def test_near_miss_a_supply_within_the_range(machine, ask):
    asked = ask(RULE, machine())
    assert not asked.findings
    assert asked.agreed == {("probe.signal", "supply_v"), ("probe.servo", "supply_v")}
