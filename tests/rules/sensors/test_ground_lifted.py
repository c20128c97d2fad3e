"""`ground-lifted`."""

from pincheck.model.finding import Severity

RULE = "ground-lifted"
ON_GND = ("boards/lapwing-c.toml", 'pins = ["TH", "AGND"]', 'pins = ["TH", "GND"]')


def test_a_probe_on_the_sensors_ground(machine, ask):
    """0.296 A come back by two wires of 0.1003 ohm and two halves of tracks, 5 mohm each: 0.296 x
    0.0602 = 18 mV. At 260 C the thermistor is 147 ohm and 1.6 to 1.9 mV make a kelvin: 10 K."""
    found = ask(RULE, machine(wiring=(ON_GND,))).finding
    assert "the current of the probe signal, which lifts it by 0.02 V" in found.message
    assert "reads 250 C at a true 260 C and heats on" in found.message
    assert found.severity is Severity.ADVICE


def test_quiet_with_a_ground_of_its_own(machine, ask):
    asked = ask(RULE, machine())
    assert not asked.findings
    assert not asked.unchecked
