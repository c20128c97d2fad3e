"""The figures of each part, every printed one worked out by hand."""

import shutil
from pathlib import Path

import pytest

from pincheck import api, resources
from pincheck.reports import figures


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

    1.667 / 8 = 21 %; two contacts 3 x 2 x 0.8 = 4.8 A, 35 %. Warm-up: Tinf = 25 + 40 / 0.12 =
    358.3 C, 12 / 0.12 x ln(333.3 / 158.3) = 74.4 s. Switch: 1.667^2 x 0.006 x 1.5 = 0.02 W.
    """
    text = shown("hotend.heater")
    assert "power 40.0 W (38.1 to 42.1 W with the tolerance of the part)" in text
    assert "current while on 1.67 A" in text
    assert "the switch may carry 8.00 A: 21% of it used" in text
    assert "2 contacts of main.toolhead may carry 4.80 A: 35% of it used" in text
    assert "heat in the switch 0.02 W" in text
    assert "from 25 to 200 C 74 s" in text


def test_a_heater_whose_switch_fails_shorted(shown):
    """Settles at 358 C as above; 260 C after 100 s x ln(333.3 / 98.3) = 122 s."""
    text = shown("hotend.heater")
    assert "switch failed shorted settles at 358 C" in text
    assert "gives way first liner at 260 C, 122 s from cold" in text


def test_a_sensor_that_falls_out(shown):
    """Cut at 4.4 s: 358.3 - 148.3 exp(-4.4 / 100) = 216 C."""
    assert "sensor falls out at 210 C cut after 4 s, at 216 C" in shown("hotend.heater")


def test_the_drop_along_the_wires(shown):
    """1 / 58 / area: 28 AWG 0.0810 mm2 0.2128 ohm/m, 20 AWG 0.5189 mm2 0.0332 ohm/m.

    1.667 A x (0.6 x 0.2128 x (1/2 + 1/4) + 2 x 0.15 x 0.0332) = 0.176 V of 24 V.
    """
    assert "lost in the wires 0.18 V of 24 V (0.7%)" in shown("hotend.heater")


def test_a_sensor_that_the_firmware_knows(shown):
    """At 25 C 100 k on 4.7 k: 4095 x 100 / 104.7 = 3911 counts.

    dn/dT = 4095 x 0.0449 x 0.9551 x 4.76 % / K = 8.4 counts / K, so 0.12 K a count. 3 % of R25
    and 1 % of the pull-up over 4.76 % / K: 0.63 + 0.21 = 0.84, 0.66 K root sum square; this
    part's slope at 25 C is 4.7 % / K.
    """
    text = shown("hotend.sensor")
    assert "at 25 C reads 25.0 C, 0.12 K a count; +-0.9 K at worst, +-0.7 K likely" in text
    assert "broken wire reads below -60 C, off the curve; limits" in text
    assert "NOT noticed" not in text


def test_an_error_has_a_direction(shown):
    other = ("clean/section/toolhead.cfg", "ATC Semitec 104GT-2", "EPCOS 100K B57560G104F")
    text = shown("hotend.sensor", other)
    assert "reads too" in text.split("worst error", 1)[1][:60]


def test_fans_on_one_switch(shown):
    """0.3 + 0.3 A of 1.0 A is 60 %; twice that at the start. 100 Hz x 0.1 ms: 100 steps."""
    text = shown("part.fan")
    assert "at the start 1.20 A of 2 on one switch, then 0.60 A" in text
    assert "the switch may carry 1.00 A: 60% of it used" in text
    assert "1 contact of main.toolhead may carry 3.00 A: 20% of it used" in text
    assert "duty steps at 100 Hz 100 by software" in text


def test_hardware_steps_are_at_most_what_the_counter_holds(shown):
    """TIM4 of the chip is 16 bits wide at 84 MHz at most: 84 MHz / 100 Hz / 13 = 64615 ticks."""
    pwm = ("clean/section/toolhead.cfg", "#hardware_pwm: True", "hardware_pwm: True")
    assert "duty steps at 100 Hz at most 64615 of TIM4" in shown("part.fan", pwm)


def test_a_motor_at_its_peak(shown):
    """0.7 x 1.414 = 0.99 A through a contact of 3 A: 33 %; 2 x 0.7^2 x 2.4 ohm = 2.4 W."""
    text = shown("extruder.motor")
    assert "current 0.70 A RMS, 0.99 A at the peak" in text
    assert "a contact of tool.link may carry 3.00 A: 33% of it used" in text
    assert "heat in the windings 2.4 W" in text


def test_the_supply_with_everything_on(shown):
    """24 / 14.4 + 24 / 2.88 + 0.1 + 0.3 + 0.3 = 10.7 A of 14.6 A: 73 %."""
    text = shown()
    assert "main.24V 10.7 A of 14.6 A (73%)" in text
    assert "not counted the motors (extruder.motor, x.motor, y.motor, z.motor)" in text


def test_every_figure_is_derived(shown):
    text = shown("hotend.heater", why=True)
    assert "settles at: 358.3 C formula Ta + U^2 / R / G with supply = 24 V" in text
    assert "with heat loss = 0.12 W/K, part block-lined" in text
