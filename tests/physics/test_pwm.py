"""Timers that outputs share, and the duty steps left at a frequency."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.pwm import (
    AVR_PRESCALERS,
    Clash,
    Output,
    clashes,
    resolution_steps,
    servo,
    software_max_hz,
    software_steps,
)

FAN = Output("part fan", "PB0", "TIM3", "3", 25_000)
HEATER = Output("heater", "PB1", "TIM3", "4", 10)


def test_one_timer_has_one_frequency():
    """A fan at 25 kHz and a heater at 10 Hz on TIM3 cannot both be served."""
    assert list(clashes([FAN, HEATER])) == [Clash("frequency", "TIM3", (FAN, HEATER))]


def test_the_same_frequency_on_one_timer_is_fine():
    """Near miss: two channels of one timer at one frequency, or two timers."""
    same = Output("aux fan", "PB4", "TIM3", "1", 25_000)
    elsewhere = Output("heater", "PB6", "TIM4", "1", 10)
    assert not list(clashes([FAN, same, elsewhere]))


def test_a_frequency_that_differs_by_the_prescaler_is_the_same():
    """976.56 Hz is what a divider makes of 980 Hz; 2 % is the line."""
    one = Output("fan 0", "PE4", "TIMER3", "B", 976.56)
    assert not list(clashes([one, Output("fan 1", "PE5", "TIMER3", "C", 980)]))
    assert list(clashes([one, Output("fan 1", "PE5", "TIMER3", "C", 1000)]))


def test_a_servo_needs_its_timer_at_50_hz():
    """A probe servo beside a fan of 25 kHz on one timer."""
    probe = servo("probe servo", "PB5", "TIM3", "2")
    assert list(clashes([FAN, probe])) == [Clash("frequency", "TIM3", (FAN, probe))]
    assert not list(clashes([probe, Output("bed", "PB1", "TIM3", "4", 50)]))


def test_servo_code_that_takes_its_timer_leaves_no_pwm_on_it():
    """The exclusive output is named first; two servos of one library share it."""
    taker = servo("probe servo", "PB5", "TIMER5", exclusive=True)
    fan = Output("fan", "PL3", "TIMER5", "A", None)
    second = servo("second servo", "PB6", "TIMER5", exclusive=True)
    assert list(clashes([fan, taker])) == [Clash("taken", "TIMER5", (taker, fan))]
    assert not list(clashes([taker, second]))


def test_one_channel_has_one_duty():
    """Two pins of one channel, or of a channel and its complement, do the same."""
    one = Output("fan 0", "PA8", "TIM1", "1", 100)
    complement = Output("fan 1", "PB13", "TIM1", "1N", 100)
    assert list(clashes([one, complement])) == [Clash("channel", "TIM1", (one, complement))]


def test_an_unknown_frequency_is_not_compared():
    """It yields no clash, and the caller sees that `hz` is None."""
    assert not list(clashes([FAN, Output("aux", "PB4", "TIM3", "1")]))


def test_outputs_without_hardware_timer_do_not_clash():
    """Software PWM needs no timer of its own."""
    assert not list(clashes([Output("a", "PC1", hz=10), Output("b", "PC2", hz=25_000)]))


@pytest.mark.parametrize(
    ("clock", "hz", "bits", "prescalers", "steps"),
    [
        # 84 MHz / 25 kHz = 3360 ticks, which fit 16 bits undivided.
        (84e6, 25_000, 16, (), 3360),
        # 72 MHz / 10 Hz = 7.2 million ticks; / 110 = 65454 fit 16 bits.
        (72e6, 10, 16, (), 65_454),
        # 16 MHz / 25 kHz = 640 ticks, too many for 8 bits; / 8 = 80.
        (16e6, 25_000, 8, AVR_PRESCALERS, 80),
        # ATmega2560 data sheet, fast PWM: 16 MHz / (64 x 256) = 976.5625 Hz with all 256 steps.
        (16e6, 976.5625, 8, AVR_PRESCALERS, 256),
        # 16 MHz / 50 Hz / 1024 = 312.5 ticks: 8 bits cannot make a servo's frame,
        (16e6, 50, 8, AVR_PRESCALERS, 0),
        # 16 bits can: 16 MHz / 50 Hz / 8 = 40000.
        (16e6, 50, 16, AVR_PRESCALERS, 40_000),
        # One tick a period is no PWM.
        (16e6, 16e6, 16, (), 0),
    ],
)
def test_steps_left_at_a_frequency(clock, hz, bits, prescalers, steps):
    """Worked by hand beside each case."""
    assert resolution_steps(clock, hz, bits, prescalers) == steps


@given(st.floats(1e6, 2e8), st.floats(1, 1e6), st.floats(1, 1e6), st.sampled_from([8, 16, 32]))
def test_steps_never_exceed_the_counter(clock, one, other, bits):
    """Physical bounds: the counter's width and the ticks in a period."""
    for hz in (one, other):
        steps = resolution_steps(clock, hz, bits)
        assert 0 <= steps <= min(2**bits, clock / hz)


def test_software_pwm_of_a_slow_tick():
    """16 MHz / 64 / 256 = 976.5625 Hz; with 128 steps 7.63 Hz, with 64 15.26 Hz."""
    tick_s = 64 * 256 / 16e6
    assert software_max_hz(tick_s, 128) == pytest.approx(7.63, abs=5e-3)
    assert software_max_hz(tick_s, 64) == pytest.approx(15.26, abs=5e-3)


def test_software_pwm_of_a_timed_event():
    """Ten steps of 0.1 ms allow 1 kHz; 100 Hz leaves 100 steps and 25 kHz none."""
    assert software_max_hz() == pytest.approx(1000)
    assert software_steps(100) == 100
    assert software_steps(25_000) == 0


@given(st.floats(0.1, 1e5), st.floats(0.1, 1e5))
def test_faster_software_pwm_never_has_more_steps(one, other):
    """Resolution is paid with frequency."""
    low, high = sorted((one, other))
    assert software_steps(low) >= software_steps(high)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: Output("fan", "PB0", hz=0), "frequency 0 Hz: allowed is 0.001 to 1e\\+09 Hz"),
        (lambda: resolution_steps(84e6, -1, 16), "frequency -1 Hz"),
        (lambda: resolution_steps(84e6, 100, 64), "timer width 64 bits: allowed is 2 to 32 bits"),
        (lambda: software_max_hz(0), "software event time 0 s"),
    ],
)
def test_absurd_input_is_refused_with_its_range(call, said):
    """The message names the quantity, the value and what is allowed."""
    with pytest.raises(ValueError, match=said):
        call()
