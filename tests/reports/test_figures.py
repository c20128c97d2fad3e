"""The figures of each part, every printed one worked out by hand."""

import shutil
from pathlib import Path

import pytest

from pincheck import api, resources
from pincheck.reports import figures

PULLED_UP = 'PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }'
BEAD = ("clean/section/toolhead.cfg", "ATC Semitec 104GT-2", "NTC 100K beta 3950")
"""Read through the beta equation of 3950 K alone."""


@pytest.fixture
def shown(tmp_path: Path):
    """Return what shows one role of the demo that agrees, with texts replaced, as one line."""

    def make(role: str = "", *replaced: tuple[str, str, str], why: bool = False) -> str:
        folder = tmp_path / "configs"
        shutil.copytree(resources.folder("configs"), folder, dirs_exist_ok=True)
        for file, old, new in replaced:
            text = (folder / file).read_text()
            assert text.count(old) == 1
            (folder / file).write_text(text.replace(old, new))
        machine = api.load_configuration(folder / "clean" / "section")
        result = api.check(machine, api.load_wiring(folder / "marsh-230-c.toml"))
        lines = list(figures.lines(result, role, why))
        assert all(len(line) <= 80 for line in lines)
        return " ".join(" ".join(lines).split())

    return make


def test_a_heater_draws_and_warms_up(shown):
    """24^2 / 14.4 = 40 W, / (1.05 and 0.95) = 38.1 and 42.1 W; 24 / 14.4 = 1.667 A.

    With 0.148 ohm on its way 1.648 A: of 8 A 21 %, of two contacts of 3 A 27 %. Warm-up:
    Tinf = 25 + 40 / 0.12 = 358.3 C, 12 / 0.12 x ln(333.3 / 158.3) = 74.4 s. Switch:
    1.667^2 x 0.006 x 1.5 = 0.02 W.
    """
    text = shown("hotend.heater")
    assert "power 40 W (38.1 to 42.1 W with the tolerance of the part)" in text
    assert "current while on 1.67 A" in text
    assert "the switch may carry 8 A: 21% of it used" in text
    assert "contacts 3,4 of main.toolhead may carry 6 A: 27% of it used" in text
    assert "heat in the switch 0.025 W" in text
    assert "from 25 to 200 C 74 s" in text


def test_a_heater_whose_switch_fails_shorted(shown):
    """Settles at 358 C as above; 260 C after 100 s x ln(333.3 / 98.3) = 122 s."""
    text = shown("hotend.heater")
    assert "switch failed shorted settles at 358 C" in text
    assert "gives way first liner at 260 C, 122 s from cold" in text


def test_a_capped_heater(shown):
    """40 x 0.7 = 28 W, 26.7 to 29.5 W; 1.667 x root 0.7 = 1.39 A.

    A shorted switch knows no cap: 358 C as above. 25 to 200 C with 28 W: Tinf = 258.3 C,
    100 ln(233.3 / 58.3) = 139 s.
    """
    text = shown(
        "hotend.heater", ("clean/section/toolhead.cfg", "max_power: 1.0", "max_power: 0.7")
    )
    assert "power 28 W at its cap of 70% (26.7 to 29.5 W" in text
    assert "current while on 1.67 A, 1.39 A of heating effect at its cap of 70%" in text
    assert "from 25 to 200 C 139 s" in text
    assert "settles at 358 C" in text


def test_a_sensor_that_falls_out(shown):
    """25 + 185 exp(-t / 10) lacks 12.6, 28.5, 42.9, 56.0 K to 205 C: 140 K s at 4 s, of 120.

    358.3 - 148.3 exp(-4 / 100) = 216 C.
    """
    assert "sensor falls out at 210 C cut after 4 s, at 216 C" in shown("hotend.heater")


def test_a_sensor_that_was_out_before(shown):
    """No 2 K within 20 s, and the sum is long full: 21 s, 358.3 - 333.3 exp(-0.21) = 88 C."""
    assert "sensor out before warm-up cut after 21 s, at 88 C" in shown("hotend.heater")


def test_a_heater_that_comes_loose(shown):
    """The reading, 3 s of lag and 1 s behind, lacks 1.2, 2.7, 4.3, 6.0, 7.6, 9.3, 10.9, 12.6,
    14.2, 15.9, 17.5, 19.1 K to 205 C from 7 s on: 121 K s at 18 s; 25 + 185 exp(-0.18) = 180 C.
    """
    text = shown("hotend.heater")
    assert "heater loose at 210 C cut after 18 s with 40 W in the open, the block at 180 C" in text


def test_what_nothing_cuts(shown):
    """A band of 190 K under 210 C ends below ambient; 358 C as above."""
    wide = ("clean/section/toolhead.cfg", "hysteresis: 5", "hysteresis: 190")
    text = shown("hotend.heater", wide)
    assert "falls out at 210 C nothing cuts the heater, it settles at 358 C" in text
    assert "before warm-up nothing cuts the heater, it settles at 358 C" in text
    assert "loose at 210 C nothing cuts the heater: with 40 W it glows in the open" in text


def test_a_bed_warms_up(shown):
    """24^2 / 2.88 = 200 W, / (1.05 and 0.95) = 190.5 and 210.5 W; 24 / 2.88 = 8.33 A.

    8.19 A, of 15 A 55 %; 8.33^2 x 0.003 x 1.5 = 0.31 W. Two wires of 0.6 m of 14 AWG 10 mohm, two
    contacts 20, tracks 15 and the switch 4.5: 49 mohm x 8.19 A = 0.41 V.
    Tinf = 25 + 200 / 1.1 = 206.8 C, tau = 520 / 1.1 = 472.7 s: 472.7 ln(181.8 / 146.8) = 101 s.
    """
    text = shown("bed.heater")
    assert "power 200 W (190 to 211 W with the tolerance of the part)" in text
    assert "current while on 8.33 A" in text
    assert "the switch may carry 15 A: 55% of it used" in text
    assert "heat in the switch 0.31 W" in text
    assert "lost on the way 0.41 V of 24 V (1.7%)" in text
    assert "from 25 to 60 C 101 s" in text


def test_the_faults_of_a_bed(shown):
    """Shorted: 206.8 C, past 120 C after 472.7 ln(181.8 / 86.8) = 349 s.

    Fallen out: 25 + 35 exp(-t / 10) lacks 1.3, 4.1, 6.5, 8.8, 10.8, 12.6, 14.3, 15.8, 17.1, 18.4,
    19.5 K to 55 C from 2 s on: 129 K s at 12 s; 206.8 - 146.8 exp(-12 / 472.7) = 64 C.
    Out before: 60 s for the gain and 1 s, 206.8 - 181.8 exp(-61 / 472.7) = 47 C.
    Loose: the reading, 12 s of lag and 3 s behind, is down to 55 C at 88 s; it lacks 0.1 K at 90 s,
    0.8 at 100 s and so on to 3.7 K at 150 s: 4.9, 15.8, 32.7, 55.6, 84.2, 118.6 K s at 100 to
    150 s, 122.3 at 151 s. 25 + 35 exp(-151 / 472.7) = 50 C.
    """
    text = shown("bed.heater")
    assert "switch failed shorted settles at 207 C" in text
    assert "gives way first magnet of the plate at 120 C, 349 s from cold" in text
    assert "sensor falls out at 60 C cut after 12 s, at 64 C" in text
    assert "sensor out before warm-up cut after 61 s, at 47 C" in text
    assert "heater loose at 60 C cut after 151 s with 200 W in the open, the plate at 50 C" in text


def test_the_drop_along_the_way(shown):
    """0.6 m of 26 AWG 80.3 mohm and two contacts of 10, by four out and by two back: 75.3 mohm; at
    the plug 2 x 0.15 m of 20 AWG and two contacts 30, six halves of tracks and one at the switch
    35, the switch 6 x 1.5 = 9: 149 mohm at 1.648 A, 0.246 V; the fans' 0.69 A take 25.1 + 10 mohm
    of it too, 0.024 V."""
    assert "lost on the way 0.27 V of 24 V (1.1%)" in shown("hotend.heater")


def test_a_sensor_that_the_firmware_knows(shown):
    """At 25 C 100 k on 4.7 k: 4095 x 100 / 104.7 = 3911 counts.

    dn/dT = 4095 x 0.0449 x 0.9551 x 4.76 % / K = 8.4 counts / K, so 0.12 K a count. 3 % of R25
    and 1 % of the pull-up over 4.7 % / K: 0.64 + 0.21 K; 5 counts of the converter 0.6 K, the
    curve 0.1 K: 1.55 K, 0.91 K root sum square.
    """
    text = shown("hotend.sensor")
    assert "at 25 C reads 25 C, 0.12 K a count; +-1.6 K at worst, +-0.9 K likely" in text
    assert "broken wire reads -100 C at the lowest, off the curve; limits" in text
    assert "NOT noticed" not in text


def test_how_surely_a_thermistor_is_read_over_its_range(shown):
    """Published table 104GT; the part has 3 % of R25 and 2 % of beta, the pull-up 1 %.

    100 C, 5556 ohm: 2218.4 counts. The table falls by 3.162 % / K (90 to 110 C), so 2218.4 x
    (1 - 2218.4 / 4095) x 0.03162 = 32.1 counts / K, 0.03 K a count. 3 / 3.162 = 0.95 K; 2 x
    ln(100000 / 5556) / 3.162 = 1.83 K; 1 / 3.162 = 0.32 K; 5 counts 0.16 K; the curve 0.1 K:
    3.36 K, 2.1 K root sum square.
    200 C, 439.3 ohm: 350.0 counts, 2.038 % / K, 6.52 counts / K, 0.15 K; 1.47 + 5.33 + 0.49 +
    0.77 + 0.1 = 8.2 K, 5.6 K root sum square.
    255 C, 160.1 ohm: 134.9 counts, 1.652 % / K, 2.15 counts / K, 0.46 K; 1.82 + 7.79 + 0.61 +
    2.32 + 0.1 = 12.6 K, 8.4 K root sum square.
    """
    text = shown("hotend.sensor")
    for said in (
        "at 100 C reads 100 C, 0.03 K a count; +-3.3 K at worst, +-2.1 K likely",
        "at 200 C reads 200 C, 0.15 K a count; +-8.2 K at worst, +-5.6 K likely",
        "0.46 K a count; +-13 K at worst, +-8.4 K likely",
    ):
        assert said in text


def test_a_sensor_read_as_another(shown):
    """1/T = 1/298.15 + ln(R / 100000) / 3950, with R of the published table 104GT.

    5556 ohm: ln = -2.89029, 1/T = 0.00262230, 108.2 C. 439.3 ohm: -5.42773, 0.00197991, 231.9 C.
    160.08 ohm (a fifth and more from 174.0 to 147.5, in 1/T): -6.43726, 0.00172433, 306.8 C.
    Counts a kelvin there: n (1 - n / 4095) x 3950 / T^2 = 7.81, 27.61, 4.96 and 1.53.
    """
    text = shown("hotend.sensor", BEAD)
    for said in (
        "at 25 C reads 25 C, 0.13 K a count",
        "at 100 C reads 108 C, 0.04 K a count",
        "at 200 C reads 232 C, 0.2 K a count",
        "at 255 C reads 307 C, 0.65 K a count",
        "worst error, 0 to 255 C +52 K at a true 255 C: reads too high",
    ):
        assert said in text


def test_a_sensor_that_reads_too_low_overheats(shown):
    """Assumed on 10000 ohm instead of 4700, the firmware takes R for 2.128 R.

    439.3 ohm at 200 C is taken for 934.7: the table has 1064 at 160 C and 841 at 170 C,
    ln(934.7 / 1064) / ln(841 / 1064) = 0.551 of the way, in 1/T, 165.5 C: 34.5 K too low.
    160.1 ohm at 255 C is taken for 340.6: 359.7 at 210 C and 296.9 at 220 C, 0.284 of the way,
    212.8 C. The name's own fit through three points is within 0.1 K of that table.
    """
    pullup = ("clean/section/toolhead.cfg", "pullup_resistor: 4700", "pullup_resistor: 10000")
    text = shown("hotend.sensor", pullup)
    assert "at 200 C reads 165 C" in text
    assert "at 255 C reads 213 C" in text
    assert "-42 K at a true 255 C: reads too low, so the firmware overheats it" in text


def test_a_broken_wire_on_a_lower_rail_is_read_as_a_temperature(shown):
    """Open, the line stands at 1.8 V of 3.3 V: 4700 x 0.5455 / 0.4545 = 5640 ohm.

    1/T = 1/298.15 + ln(5640 / 100000) / 3950 = 0.00262610: 107.6 C, inside the limits. The curve
    ends at 500 C with 29 ohm: a short, 0 ohm, is past it.
    """
    rail = ("boards/heron-2.toml", PULLED_UP, PULLED_UP.replace("3.3", "1.8"))
    text = shown("hotend.sensor", BEAD, rail)
    assert "broken wire reads 108 C; limits 0 to 255 C: NOT noticed" in text
    assert "shorted wire reads 500 C or more, off the curve; limits 0 to 255 C: noticed" in text
    assert "ends of the curve -60 to 500 C" in text


def test_a_platinum_sensor_behind_a_converter(shown):
    """IEC 60751: slope 100 x (0.0039083 - 2 x 5.775e-7 t) ohm / K; class B 0.3 + 0.005 t K.

    One of 32768 counts over 430 ohm is 0.01312 ohm: / 0.3880 at 25 C and / 0.3793 at 100 C
    0.03 K, / 0.3677 at 200 C and / 0.3614 at 255 C 0.04 K. Class B: 0.425, 0.8, 1.3, 1.575 K.
    """
    text = shown(
        "hotend.sensor",
        ("boards/heron-2.toml", PULLED_UP, 'PC5"\namplifier = "MAX31865"\nreference_ohm = 430'),
        ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "pt100"'),
        (
            "clean/section/toolhead.cfg",
            "sensor_type: ATC Semitec 104GT-2\npullup_resistor: 4700",
            "sensor_type: MAX31865\nrtd_nominal_r: 100\nrtd_reference_r: 430",
        ),
    )
    for said in (
        "at 25 C reads 25.0 C, 0.03 K a count; +-0.9 K at worst, +-0.7 K likely",
        "at 100 C reads 100 C, 0.03 K a count; +-1.3 K at worst, +-0.9 K likely",
        "at 200 C reads 200 C, 0.04 K a count; +-1.8 K at worst, +-1.4 K likely",
        "at 255 C reads 255 C, 0.04 K a count; +-2.1 K at worst, +-1.7 K likely",
        "worst error, 0 to 255 C none: the firmware assumes what is fitted",
        "ends of the curve -200 to 850 C",
        "broken wire reads 850 C or more, off the curve",
        "shorted wire reads -240 C at the lowest, off the curve",
    ):
        assert said in text


def test_fans_on_one_switch(shown):
    """0.3 + 0.3 A at 23.7 V of 24 are 59 % of 1.0 A; twice that at the start.

    100 Hz x 0.1 ms: 100 steps."""
    text = shown("part.fan")
    assert "at the start 1.2 A of 2 on one switch, then 0.6 A" in text
    assert "the switch may carry 1 A: 59% of it used" in text
    assert "contact 9 of main.toolhead may carry 3 A: 20% of it used" in text
    assert "duty steps at 100 Hz 100 by software" in text


def test_what_the_fans_way_carries(shown):
    """IPC-2221 at 40 K: 0.048 x 40^0.44 = 0.2433. Track of 0.8 mm in 2 oz: 86.8 square mil.

    86.8^0.725 = 25.44, x 0.2433 = 6.19 A, 10 % of it used. 3 mm: 325.5^0.725 = 66.3, 16.13 A; the
    24 V of the head carries 1.65 + 0.1 + 0.3 + 0.3 = 2.34 A, 15 %, its four contacts of 3 A 20 %.
    Twelve wires of the ribbon are warm, 4 of 24 V, 2 of the heater, the part fans' and 5 V, 4 of
    the motor: each of 26 AWG carries 2.2 x 0.5 = 1.1 A. A contact of 5 A with one fan: 6 %.
    """
    text = shown("part.fan")
    for said in (
        "the track of FAN_PART may carry 6.19 A: 10% of it used",
        "the track of 24V may carry 16.1 A: 15% of it used",
        "contacts 1,2,5,6 of main.toolhead may carry 12 A: 20% of it used",
        "the FAN2 wire of 26 AWG may carry 1.1 A: 54% of it used",
        "4 24V wires of 26 AWG may carry 4.4 A: 53% of it used",
        "contact 1 of tool.part_fan_a may carry 5 A: 6% of it used",
    ):
        assert said in text


def test_one_fan_alone_starts_with_twice_its_current(shown):
    """0.1 A x 2 = 0.20 A; 0.1 of 1.0 A is 10 %."""
    text = shown("hotend.fan")
    assert "at the start 0.2 A, then 0.1 A" in text
    assert "the switch may carry 1 A: 10% of it used" in text


def test_hardware_steps_are_at_most_what_the_counter_holds(shown):
    """TIM4 of the chip is 16 bits wide at 84 MHz at most: 84 MHz / 100 Hz / 13 = 64615 ticks."""
    pwm = ("clean/section/toolhead.cfg", "#hardware_pwm: True", "hardware_pwm: True")
    assert "duty steps at 100 Hz at most 64615 of TIM4" in shown("part.fan", pwm)


def test_a_motor_at_its_peak(shown):
    """0.7 x 1.414 = 0.99 A through a contact of 3 A: 33 %; 2 x 0.7^2 x 2.4 ohm = 2.4 W."""
    text = shown("extruder.motor")
    assert "current 0.7 A RMS, 0.99 A at the peak" in text
    assert "the motor may carry 1 A: 70% of it used" in text
    assert "its driver may carry 2 A: 35% of it used" in text
    assert "a contact of tool.link may carry 3 A: 33% of it used" in text
    assert "heat in the windings 2.4 W" in text


def test_a_motor_whose_sense_resistor_is_another(shown):
    """0.7 A x (0.15 + 0.02) / (0.11 + 0.02) = 0.92 A, x 1.414 = 1.29 A; 2 x 0.9154^2 x 2.4 = 4.0 W.

    92 % of the motor's 1.0 A, 46 % of the driver's 2.0 A, 43 % of a contact's 3.0 A.
    """
    sense = ("clean/section/toolhead.cfg", "sense_resistor: 0.110", "sense_resistor: 0.150")
    text = shown("extruder.motor", sense)
    assert "current 0.915 A RMS, 1.29 A at the peak" in text
    assert "the motor may carry 1 A: 92% of it used" in text
    assert "its driver may carry 2 A: 46% of it used" in text
    assert "a contact of tool.link may carry 3 A: 43% of it used" in text
    assert "heat in the windings 4 W" in text


def test_the_supply_with_everything_on(shown):
    """24 / 14.4 + 24 / 2.88 + 0.1 + 0.3 + 0.3 = 10.7 A of 14.6 A: 73 %."""
    text = shown()
    assert "main.24V 10.7 A of 14.6 A (73%)" in text
    assert "not counted the motors (extruder.motor, x.motor, y.motor, z.motor)" in text


def test_every_figure_is_derived(shown):
    text = shown("hotend.heater", why=True)
    assert "settles at: 358 C formula Ta + U^2 / R / G with supply = 24 V" in text
    assert "with heat loss = 0.12 W/K, part block-marsh" in text
