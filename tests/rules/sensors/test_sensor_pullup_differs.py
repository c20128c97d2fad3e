"""`sensor-pullup-differs`."""

import pytest

from pincheck.model.claim import Doubt, SensorValue
from pincheck.model.finding import Severity

RULE = "sensor-pullup-differs"


def test_a_smaller_pull_up_assumed_than_fitted_reads_low(machine, ask):
    """Fitted 4700 ohm, assumed 2200 ohm: the firmware takes R for R x 2200 / 4700.

    At a true 200 C the part has 439.3 ohm, taken for 205.6 ohm, which the table has between
    240 C (206.5) and 250 C (174): ln(206.5 / 205.63) / ln(206.5 / 174) = 0.02465 of the way in
    1/T, 1/513.15 - 0.02465 x (1/513.15 - 1/523.15) = 0.00194783: 513.39 K, 240.2 C. It reads
    high: the part stays 40 K too cold.
    206.5 ohm at 240 C are taken for 96.66: 107.9 at 280 C and 93.05 at 290 C, 287.4 C, 47 K too
    high. It shows 240 C for 206.5 x 4700 / 2200 = 441.2 ohm, which are 439.3 at 200 C: 200 C.
    174 ohm at 250 C are taken for 81.4, 299.3 C: 49.3 K are the worst before the table ends.
    """
    found = ask(RULE, machine({("hotend.sensor", "pullup_ohm"): 2200.0})).finding
    assert "hangs on a pull-up of 4700 ohm, the firmware computes with 2200 ohm" in found.message
    assert "at a true 240 C the firmware believes 287 C, 47 K too high" in found.message
    assert "asked for 240 C it heats to 200 C" in found.message
    worst = next(n for n in found.numbers if n.name.startswith("worst"))
    assert (worst.name, round(worst.value, 1)) == ("worst error, at 250 C", 49.3)
    at_200 = next(n.value for n in found.numbers if n.name.endswith("200 C"))
    assert at_200 == pytest.approx(240.24, abs=0.005)
    assert found.severity is Severity.FAULT
    assert [(c.attribute, c.value) for c in found.changes] == [("pullup_ohm", 4700.0)]


def test_a_larger_pull_up_assumed_than_fitted_is_a_danger(machine, ask):
    """Fitted 4700, assumed 10000: 439.3 ohm is taken for 934.7 ohm: 160 C (1064) to 170 C (841).

    ln(1064 / 934.7) / ln(1064 / 841) = 0.55097 of the way in 1/T, 1/433.15 - 0.55097 x
    (1/433.15 - 1/443.15) = 0.00227991: 438.61 K, 165.5 C.
    147.5 ohm at 260 C are taken for 313.8: 359.7 at 210 C and 296.9 at 220 C, 217.1 C, 43 K too
    low. It would show 260 C for 147.5 x 4700 / 10000 = 69.3 ohm, past the 80.65 of 300 C, and 255 C
    past it as well: 40 W would settle at 25 + 40 / 0.12 = 358 C, and get past these 300 C.
    """
    found = ask(RULE, machine({("hotend.sensor", "pullup_ohm"): 10000.0})).finding
    assert found.severity is Severity.DANGER
    at_200 = next(n.value for n in found.numbers if n.name.endswith("200 C"))
    assert at_200 == pytest.approx(165.46, abs=0.005)
    assert "at a true 260 C the firmware believes 217 C, 43 K too low" in found.message
    assert "asked for 255 C it heats to more than 300 C" in found.message


def test_a_sensor_that_reads_hot_when_cold_never_heats(machine, ask):
    """1194 ohm at 50 C (IEC 60751) over 4700 ohm, taken over 10000 ohm: 2541 ohm, 429 C."""
    wiring = (("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "pt1000"'),)
    table = SensorValue("PT1000", "pt1000")
    claims = {("hotend.sensor", "table"): table, ("hotend.sensor", "pullup_ohm"): 10000.0}
    found = ask(RULE, machine(claims, style="section", wiring=wiring)).finding
    assert "cold it reads 361 C, above its maximum of 270 C" in found.message
    hot = {**claims, ("hotend.heater", "max_c"): 450.0}
    found = ask(RULE, machine(hot, style="section", wiring=wiring)).finding
    assert "it never heats, for it reads 361 C when cold" in found.message


RAIL = ("boards/heron-2.toml", '[nets.TH0]\nchip_pin = "PC5"\npullup = { ohm = 4700, ')


def rail(volts):
    file, net = RAIL
    old = net + "tolerance_pct = 1.0, to_v = 3.3 }"
    return ((file, old, old.replace("to_v = 3.3", f"to_v = {volts}")),)


@pytest.mark.parametrize(("volts", "share"), [(5.0, "1.52"), (2.5, "0.76")])
def test_a_pull_up_to_another_voltage_than_the_converters(machine, ask, volts, share):
    """The converter measures against 3.3 V: 5 / 3.3 = 1.515, 2.5 / 3.3 = 0.758.

    439.3 ohm at 200 C (the part's table) are 439.3 / 5139.3 = 0.08548 of the pull-up's voltage. Of
    5 V that is 0.12951 of full scale, taken for 4700 x 0.12951 / 0.87049 = 699.3 ohm.
    """
    found = ask(RULE, machine(wiring=rail(volts))).finding
    assert f"hangs on {volts:g} V, {share} times the voltage" in found.message
    assert found.severity is Severity.FAULT
    assert not found.changes
    assert found.advice
    at_200 = next(n for n in found.numbers if n.name.endswith("200 C"))
    if volts == 5.0:
        assert next(i for i in at_200.inputs if i.name == "R computed").value == pytest.approx(
            699, abs=1
        )


def test_near_miss_a_pull_up_to_the_converters_own_voltage(machine, ask):
    assert not ask(RULE, machine(wiring=rail(3.31))).findings


def test_near_miss_the_next_value_of_the_series(machine, ask):
    asked = ask(RULE, machine({("hotend.sensor", "pullup_ohm"): 4640.0}))
    assert not asked.findings
    assert ("hotend.sensor", "pullup_ohm") in asked.agreed


def test_where_the_table_decides_the_pull_up_another_table_is_the_change(machine, ask):
    """Table 1010 is a platinum sensor on 1000 ohm, and the board has 4700 ohm."""
    wiring = (("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "pt1000"'),)
    claims = {("hotend.sensor", "table"): SensorValue("1010", "pt1000")}
    found = ask(RULE, machine(claims, wiring=wiring)).finding
    assert [(c.attribute, c.value.sensor) for c in found.changes] == [("table", "pt1000")]


BOARDS = (Doubt("the firmware takes its board's own", attribute="pullup_ohm"),)
FIGURES = (("beta_k", 4725.0), ("c", 7.06e-8), ("r25_ohm", 1e5))
LETTERS = SensorValue("thermistor", figures=FIGURES)


def test_firmware_that_takes_its_boards_own_pull_up_has_the_fitted_one(machine, ask):
    case = machine({("hotend.sensor", "table"): LETTERS}, style="gcode", doubts=BOARDS)
    assert ("hotend.sensor", "pullup_ohm") in ask(RULE, case).agreed


def test_near_miss_a_pull_up_on_the_breakout_is_not_the_boards(machine, ask):
    net = "[nets.HEAT]\ntrack"
    wiring = (
        (
            "boards/heron-2.toml",
            'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
            'PC5"',
        ),
        (
            "boards/lapwing-c.toml",
            net,
            "[nets.TH]\npullup = { ohm = 4700, to_v = 3.3 }\n\n" + net,
        ),
    )
    claims = {("hotend.sensor", "table"): LETTERS}
    case = machine(claims, style="gcode", doubts=BOARDS, wiring=wiring)
    assert ("hotend.sensor", "pullup_ohm") in ask(RULE, case).unchecked


def test_near_miss_a_file_that_was_not_sent_may_set_it(machine, ask):
    doubts = (Doubt("heat.g was not sent"), *BOARDS)
    case = machine({("hotend.sensor", "table"): LETTERS}, style="gcode", doubts=doubts)
    assert ("hotend.sensor", "pullup_ohm") in ask(RULE, case).unchecked
