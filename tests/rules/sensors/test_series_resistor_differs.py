"""`series-resistor-differs`."""

import pytest

from pincheck.model.finding import Severity

RULE = "series-resistor-differs"
SERIES = ("hotend.sensor", "series_ohm")
FITTED = (
    "boards/heron-2.toml",
    'chip_pin = "PC5"\n',
    'chip_pin = "PC5"\nseries_ohm = 200\n',
)


def test_a_resistor_that_only_the_firmware_knows(machine, ask):
    """At 240 C the bead has 207 ohm: with 200 taken off, 7 ohm is hotter than its curve ends."""
    found = ask(RULE, machine({SERIES: 200.0}, style="section")).finding
    assert found.severity is Severity.FAULT
    assert "has no resistor in line, the firmware computes with 200 ohm" in found.message
    assert [(c.attribute, c.value) for c in found.changes] == [("series_ohm", 0.0)]


@pytest.mark.parametrize("style", ["define", "section"])
def test_a_resistor_that_the_firmware_does_not_know(machine, ask, style):
    """At 260 C the bead has 148 ohm; with 200 more it reads as the 348 ohm of 212 C."""
    found = ask(RULE, machine(style=style, wiring=(FITTED,))).finding
    assert found.severity is Severity.DANGER
    assert "at a true 260 C the firmware believes 212 C, 48 K too low" in found.message


@pytest.mark.parametrize(("taken", "wiring"), [(200.0, (FITTED,)), (2.0, ()), (0.0, ())])
def test_near_miss_the_one_that_is_there(machine, ask, taken, wiring):
    asked = ask(RULE, machine({SERIES: taken}, style="section", wiring=wiring))
    assert not asked.findings
    assert SERIES in asked.agreed


def test_the_key_of_every_section_that_has_a_thermistor(demo):
    key = "inline_resistor: 200"
    result = demo(
        "section",
        ("toolhead.cfg", "pullup_resistor: 4700", f"pullup_resistor: 4700\n{key}"),
        ("machine.cfg", "sensor_type: Generic 3950", f"sensor_type: Generic 3950\n{key}"),
    )
    assert {f.role for f in result.findings if f.rule == RULE} == {"hotend.sensor"}
    assert ("bed.sensor", "series_ohm") in {(v.role, v.attribute) for v in result.verdicts}
