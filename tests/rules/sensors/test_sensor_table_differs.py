"""`sensor-table-differs`."""

import re

import pytest

from pincheck.model.claim import Claim, SensorValue
from pincheck.model.finding import Severity

RULE = "sensor-table-differs"


def letters(r25_ohm, beta_k, c=0.0):
    return SensorValue("thermistor", figures=(("r25_ohm", r25_ohm), ("beta_k", beta_k), ("c", c)))


def believed(found):
    at = (n for n in found.numbers if n.name.startswith("believed"))
    return {int(n.name.split()[-2]): round(n.value, 1) for n in at}


def test_letters_that_read_low_are_a_danger(machine, ask):
    """The fitted part has 5556 ohm at 100 C and 206.5 ohm at 240 C (published table 104GT).

    Read as 100 k with a beta of 4725 alone: 1/T = 1/298.15 + ln(R / 100000) / 4725.
    206.5 ohm: ln = -6.1828, 1/T = 0.00335402 - 0.00130853 = 0.00204549, T = 488.88 K = 215.7 C.
    5556 ohm: ln = -2.8903, 1/T = 0.00335402 - 0.00061171 = 0.00274231, T = 364.66 K = 91.5 C.
    147.5 ohm: ln = -6.5192, 1/T = 0.00335402 - 0.00137973 = 0.00197429, T = 506.5 K = 233.4 C:
    26.6 K too low, the worst. 260 C shown are ln R = ln 100000 - 4725 x (0.00335402 - 0.00187565)
    = 4.5276, 92.5 ohm: the table has 93.05 ohm at 290 C and 80.65 at 300 C, so 290.4 C.
    At 260 C the part falls by 1.62 % / K: 3 % of R25 are 1.85 K, 1 % of the pull-up 0.62 K, 2 %
    of beta 6.519 x 2 / 1.62 = 8.04 K. A share of 147.5 / 4847.5 = 0.03043 moves by 0.03043 x
    0.96957 x 1.62 % = 0.000478 / K, so 5 counts of 4095 are 2.55 K; the curve 0.1 K: 13.2 K in
    all, 8.7 K root sum square.
    """
    case = machine({("hotend.sensor", "table"): letters(1e5, 4725.0)}, style="gcode")
    found = ask(RULE, case).finding
    assert found.severity is Severity.DANGER
    numbers = believed(found)
    assert numbers[240] == 215.7
    assert numbers[100] == 91.5
    assert sorted(numbers) == [25, 100, 200, 240, 260]
    assert "27 K too low; asked for 255 C it heats to 285 C" in found.message
    assert [(n.name, round(n.value, 1)) for n in found.numbers[-3:]] == [
        ("worst error, at 260 C", -26.6),
        ("tolerance at 260 C (worst case)", 13.2),
        ("tolerance at 260 C (root sum square)", 8.7),
    ]
    change = found.changes[0]
    assert (change.attribute, change.value.sensor) == ("table", "ntc-100k-b4267-glass")


def test_a_small_error_is_advice_whichever_way_it_goes(machine, ask):
    """206.5 ohm, the glass part at 240 C, through 104 k and a beta of 4400 with C 0:
    1 / (1/298.15 + ln(206.5 / 104000) / 4400) = 515.3 K = 242.1 C is within the slack; at 4500
    1 / (0.00335402 - 6.2220 / 4500) = 507.3 K = 234.1 C: 5.9 K too low.
    """
    case = machine({("hotend.sensor", "table"): letters(104e3, 4500.0)}, style="gcode")
    found = ask(RULE, case).finding
    assert found.severity is Severity.ADVICE
    assert "K too low" in found.message


def test_the_resistances_on_the_way_are_told(machine, ask):
    """206.5 / (206.5 + 4700) = 0.04209 of full scale, and on the same pull-up 206.5 ohm again."""
    case = machine({("hotend.sensor", "table"): letters(1e5, 4725.0)}, style="gcode")
    at_240 = next(n for n in ask(RULE, case).finding.numbers if "240" in n.name)
    told = [(i.name, round(i.value, 5), i.unit) for i in at_240.inputs[:3]]
    assert told == [
        ("R at 240 C", 206.5, "ohm"),
        ("share of full scale", 0.04209, ""),
        ("R computed", 206.5, "ohm"),
    ]


def test_a_table_that_reads_high_is_a_fault(machine, ask):
    """174 ohm at a true 250 C read as the 4092 class gives 282 C (+32 K, published comparison)."""
    case = machine({("hotend.sensor", "table"): SensorValue("1", "ntc-100k-b4092")})
    found = ask(RULE, case).finding
    assert found.severity is Severity.FAULT
    assert "too high" in found.message


@pytest.mark.parametrize(
    ("role", "text", "sensor"),
    [
        ("hotend.sensor", "5", "ntc-100k-b4267-glass"),
        ("bed.sensor", "11", "ntc-100k-b3950"),
        ("bed.sensor", "61", "ntc-100k-b3950"),
    ],
)
def test_near_miss_another_name_for_a_curve_that_agrees(machine, ask, role, text, sensor):
    asked = ask(RULE, machine({(role, "table"): SensorValue(text, sensor)}))
    assert not asked.findings
    assert (role, "table") in asked.agreed


def test_the_trades_letters_of_the_fitted_part_agree(machine, ask):
    case = machine({("hotend.sensor", "table"): letters(1e5, 4725.0, 7.06e-8)}, style="gcode")
    assert ("hotend.sensor", "table") in ask(RULE, case).agreed


def test_a_pretended_temperature_is_a_danger(machine, ask):
    case = machine({("hotend.sensor", "table"): SensorValue("998", "dummy-25c")})
    found = ask(RULE, case).finding
    assert found.severity is Severity.DANGER
    assert "takes it for 25 C for ever" in found.message


def test_a_table_that_nobody_can_source_is_not_checked(machine, ask):
    """Table 66 is a part whose curve is in no published table at hand."""
    case = machine({("hotend.sensor", "table"): SensorValue("66", "ntc-4m7-500c")})
    asked = ask(RULE, case)
    assert not asked.findings
    assert asked.unchecked["hotend.sensor", "table"]


def test_a_claim_in_doubt_is_not_checked(machine, ask):
    unsure = Claim("hotend.sensor", "table", SensorValue("12", "ntc-100k-b4700"), unknown="why")
    asked = ask(RULE, machine({("hotend.sensor", "table"): unsure}))
    assert not asked.findings
    assert asked.unchecked["hotend.sensor", "table"] == "why"


AMPLIFIED = (
    (
        "boards/heron-2.toml",
        'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }',
        'PC5"\namplifier = "AD8495"',
    ),
)


def through(machine, ask, kind, identifier, chip="AD8495"):
    table = {("hotend.sensor", "table"): SensorValue(kind, identifier)}
    (file, old, new), *_ = AMPLIFIED
    wiring = ((file, old, new.replace("AD8495", chip)),)
    return ask(RULE, machine(table, style="define", wiring=wiring))


def test_another_analog_amplifier_reads_by_another_scale(machine, ask):
    """Type K gives 8.138 mV at 200 C: 8.138 x 122.4 + 1.25 = 997.4 mV, at 10 mV/C 99.7 C."""
    found = through(machine, ask, "-1", "amplifier-k-10mv").finding
    assert found.severity is Severity.DANGER
    assert round(found.numbers[0].value, 1) == 99.7
    assert "at a true 200 C the firmware believes 100 C" in found.message
    assert found.changes[0].value.sensor == "amplifier-k-5mv"


def test_an_amplifier_of_a_larger_scale_reads_too_high_and_prints_cold(machine, ask):
    """8.1385 mV x 247.3 + 2.72 = 2015.4 mV at 200 C, at 5 mV/C 403.1 C."""
    found = through(machine, ask, "-4", "amplifier-k-5mv", "AD595").finding
    assert found.severity is Severity.FAULT
    assert round(found.numbers[0].value, 1) == 403.1


def test_an_amplifier_is_no_thermistor(machine, ask):
    found = through(machine, ask, "5", "ntc-100k-b4267-glass").finding
    assert "has nothing to do with the temperature" in found.message


@pytest.mark.parametrize(
    ("chip", "written", "taken"),
    [
        ("MAX31865", "-3", "converter-thermocouple"),
        ("MAX31855", "-5", "converter-rtd"),
        ("MAX31855", "MAX6675", "converter-k"),
        ("MAX31865", "1047", "pt1000"),
    ],
)
def test_another_converter_sends_other_bits(machine, ask, chip, written, taken):
    found = through(machine, ask, written, taken, chip).finding
    assert found.severity is Severity.DANGER
    assert "is read through an amplifier" in found.message


def test_near_miss_a_number_that_stands_for_two_converters(machine, ask):
    assert not through(machine, ask, "-2", "converter-k", "MAX31855").findings


def test_an_amplifier_that_nobody_knows_agrees_with_nothing(machine, ask):
    asked = through(machine, ask, "1047", "pt1000", "XYZ9")
    assert asked.unchecked["hotend.sensor", "table"] == "nothing is known of the amplifier XYZ9"


def test_near_miss_the_amplifier_that_is_fitted(machine, ask):
    assert not through(machine, ask, "-4", "amplifier-k-5mv").findings


def test_a_table_that_no_curve_follows_agrees_with_nothing(machine, ask):
    """Table 99 is up to 31 K from the curve at 260 C (the style's public tables)."""
    hot = machine({("hotend.sensor", "table"): SensorValue("99", "ntc-100k-b4267-glass")})
    assert ("hotend.sensor", "table") not in ask("sensor-table-differs", hot).agreed


def test_a_table_of_another_class_is_told_however_badly_it_is_known(machine, ask):
    """A 10 k table on a 100 k bed: 72 K too low at 120 C, where the table is known within 5 K."""
    found = ask(
        "sensor-table-differs", machine({("bed.sensor", "table"): SensorValue("4")})
    ).finding
    assert "72 K too low" in found.message


BEAD = (("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "ntc-100k-b3950"'),)


@pytest.mark.parametrize(
    ("style", "text"),
    [
        ("section", "Generic 3950"),
        ("section", "NTC 100K beta 3950"),
        ("define", "11"),
        ("define", "60"),
        ("define", "61"),
        ("define", "13"),
    ],
)
def test_a_bead_known_by_its_class_agrees_with_no_word_for_it_in_a_hot_end(
    machine, ask, style, text
):
    """The class is known within 8.4 K at 240 C and 9.6 K at 260, its words differ by 25 and 30."""
    value = SensorValue(text, "ntc-100k-b3950")
    asked = ask(RULE, machine({("hotend.sensor", "table"): value}, style=style, wiring=BEAD))
    assert not asked.findings
    reason = asked.unchecked["hotend.sensor", "table"]
    assert re.search("the part's curve is known within (8|10) K only", reason)
    assert "`curve` in a parts file" in reason


@pytest.mark.parametrize(
    "figures",
    [
        (("r25_ohm", 100000.0), ("beta_k", 3950.0)),
        (("points", ((25.0, 100000.0), (150.0, 1770.0), (250.0, 230.0))),),
    ],
)
def test_nor_with_letters_or_points(machine, ask, figures):
    value = SensorValue("thermistor", figures=figures)
    asked = ask(RULE, machine({("hotend.sensor", "table"): value}, style="gcode", wiring=BEAD))
    assert not asked.findings
    assert "known within 10 K only" in asked.unchecked["hotend.sensor", "table"]


def test_a_table_known_worse_than_the_error_it_hides_does_not_agree(machine, ask):
    """Table 3 reads 2 K too low at 260 C; part and table are known within 2 and 1 K."""
    wiring = (("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "ntc-100k-b4092"'),)
    value = SensorValue("3", "ntc-100k-b4120")
    asked = ask(RULE, machine({("hotend.sensor", "table"): value}, style="define", wiring=wiring))
    assert not asked.findings
    assert "2 K too low" in asked.unchecked["hotend.sensor", "table"]
    right = SensorValue("1", "ntc-100k-b4092")
    case = machine({("hotend.sensor", "table"): right}, style="define", wiring=wiring)
    assert ("hotend.sensor", "table") in ask(RULE, case).agreed


def test_figures_of_no_sensor_are_a_danger(machine, ask):
    """Resistances that rise with the temperature: no thermistor has them."""
    points = ((25.0, 100000.0), (150.0, 1360.0), (250.0, 1740.0))
    value = SensorValue(
        "bead", figures=(("points", points),), lines=(("resistance_3", 1740.0, None),)
    )
    found = ask(RULE, machine({("hotend.sensor", "table"): value})).finding
    assert found.severity is Severity.DANGER
    assert "the figures of bead are those of no sensor" in found.message


def test_a_part_that_reads_colder_than_any_place_is_no_reason_to_stop(demo):
    """100 ohm read as a platinum sensor of 1000 ohm are below -190 C: no target to simulate."""
    result = demo(
        "gcode",
        ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "pt100"'),
        ("toolhead.g", 'Y"thermistor" T100000 B4725 C7.06e-8', 'Y"pt1000"'),
    )
    (finding,) = [f for f in result.findings if f.rule == "sensor-table-differs"]
    assert "100 ohm at 0 C, read as platinum resistor, 1000 ohm" in finding.message


def test_a_slip_in_the_name_of_a_sensor_stops_the_firmware(demo):
    result = demo("section", ("machine.cfg", "Generic 3950", "Generic 3590"))
    (found,) = result.findings
    assert (found.rule, found.role, found.severity) == (RULE, "bed.sensor", Severity.FAULT)
    assert "'Generic 3950' is spelt nearly so" in found.message


@pytest.mark.parametrize(
    "named",
    [
        "Reed 3590",
        "Generic 3590\n[thermistor Generic 3590]\ntemperature1: 25\nresistance1: 100000\n"
        "beta: 3950\n[heater_bed]",
        "Generic 3590\n[include more.cfg]\n[heater_bed]",
    ],
    ids=["of an add-on, say", "described", "perhaps described"],
)
def test_near_miss_a_name_that_something_may_know(demo, named):
    result = demo("section", ("machine.cfg", "Generic 3950", named))
    assert "refuses to start" not in " ".join(f.message for f in result.findings)


def test_a_thermocouple_without_an_amplifier_is_a_short_to_the_chip(machine, ask):
    part = ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "thermocouple-k"')
    found = ask(RULE, machine(style="section", wiring=(part,))).finding
    assert found.severity is Severity.FAULT
    assert "gives millivolts and is some ohms" in found.message
    assert not found.changes
