"""Lumped thermal model: a heated block that loses heat to the air, and a sensor that lags.

C dT/dt = P - G (T - Ta) for the block and lag dS/dt = T - S for the sensor (textbook lumped
capacitance). Loss is taken as linear; radiation makes it grow faster at high temperature, so a
settling temperature above 400 C is an upper estimate.
"""

import math
from collections.abc import Callable, Iterator

from attrs import evolve, field

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import AMBIENT, DURATION, POWER, TEMPERATURE, Range

_CAPACITY = Range("heat capacity", 0.01, 50_000.0, "J/K")
_LOSS = Range("heat loss", 1e-4, 200.0, "W/K")
_FAN_LOSS = Range("heat loss to the fan", 0.0, 200.0, "W/K")
_LAG = Range("sensor lag", 0.0, 600.0, "s")
_DEAD_TIME = Range("dead time", 0.0, 600.0, "s")
_COUNT = Range("samples", 2, 100_000)

_RESOLUTION_S = 1e-9


@frozen
class ThermalBlock:
    """Heat capacity, losses and sensor of a heated block; the defaults are a hot end's.

    Defaults: C 12 J/K and G 0.12 W/K with up to 0.05 W/K more with the part fan, from a mass budget
    of an aluminium block with nozzle and heater; measured ones run from 8 to 20 J/K and from 0.04
    to 0.15 W/K (`analysis.heated_block`). Lag of a seated sensor 3 s (1 to 10), of one hanging in
    air 10 s (5 to 20), dead time until a change of the block shows at the sensor 1 s (0 to 5):
    `common practice`.
    """

    heat_capacity_j_k: float = field(default=12.0, validator=_CAPACITY)
    loss_w_k: float = field(default=0.12, validator=_LOSS)
    fan_loss_w_k: float = field(default=0.05, validator=_FAN_LOSS)
    sensor_lag_s: float = field(default=3.0, validator=_LAG)
    dead_time_s: float = field(default=1.0, validator=_DEAD_TIME)
    loose_lag_s: float = field(default=10.0, validator=_LAG)

    def with_fan(self) -> "ThermalBlock":
        """Return the block with the part fan blowing on it."""
        return evolve(self, loss_w_k=self.loss_w_k + self.fan_loss_w_k, fan_loss_w_k=0.0)

    @property
    def tau_s(self) -> float:
        """Time constant, C / G."""
        return self.heat_capacity_j_k / self.loss_w_k


PLATE = ThermalBlock(
    heat_capacity_j_k=540.0, loss_w_k=1.2, fan_loss_w_k=0.0, sensor_lag_s=5.0, dead_time_s=3.0
)
"""A bed: 235 mm square, 4 mm of aluminium (0.60 kg x 900 J/kg K), both faces losing 11 W/m2 K;
from a mass budget, not from a measurement."""


@frozen
class Sample:
    """One moment of a trajectory: the block and what the sensor shows, in C."""

    time_s: float
    block_c: float
    sensor_c: float


def settle_c(power_w: float, ambient_c: float, block: ThermalBlock) -> float:
    """Return where the block settles, Ta + P / G.

    Raises:
        ValueError: power or ambient outside its allowed range.
    """
    return AMBIENT.check(ambient_c) + POWER.check(power_w) / block.loss_w_k


def time_to_c(
    from_c: float, to_c: float, power_w: float, ambient_c: float, block: ThermalBlock
) -> float | None:
    """Return when the block passes `to_c`, tau ln((Tinf - T0) / (Tinf - T)); None for never.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    settle = settle_c(power_w, ambient_c, block)
    start, end = TEMPERATURE.check(from_c) - settle, TEMPERATURE.check(to_c) - settle
    if start == end:
        return 0.0
    # On the way to the settling temperature the distance to it shrinks but never turns.
    if start * end <= 0 or abs(end) > abs(start):
        return None
    return block.tau_s * math.log(start / end)


@frozen
class Stage:
    """A stretch of constant power and loss, solved in closed form from its own start on.

    `air_c` is None for a sensor in the block, else the temperature of the air it hangs in.
    """

    start_s: float
    block_c: float
    sensor_c: float
    settle_c: float
    tau_s: float
    lag_s: float
    air_c: float | None = None

    @property
    def at_once(self) -> bool:
        """Whether the sensor follows without a lag worth the name."""
        return self.lag_s < _RESOLUTION_S

    def block_at(self, time_s: float) -> float:
        """Return the block's temperature at a time from the start of the stage on."""
        gap = self.block_c - self.settle_c
        return self.settle_c + gap * math.exp((self.start_s - time_s) / self.tau_s)

    def sensor_at(self, time_s: float) -> float:
        """Return the sensor's temperature at a time from the start of the stage on."""
        passed = time_s - self.start_s
        if self.at_once:
            return self.block_at(time_s) if self.air_c is None else self.air_c
        fade = math.exp(-passed / self.lag_s)
        if self.air_c is not None:
            return self.air_c + (self.sensor_c - self.air_c) * fade
        gap = self.block_c - self.settle_c
        own = (self.sensor_c - self.settle_c) * fade
        return self.settle_c + own + gap * _response(passed, self.tau_s, self.lag_s)

    def turn_s(self, until_s: float) -> float | None:
        """Return when, before `until_s`, the sensor turns: there it equals the block.

        With d = T - S, d' = -d / lag - (T - Tinf) / tau has its one zero at
        ln(1 + k d0 tau / (T0 - Tinf)) / k, k = 1 / lag - 1 / tau.
        """
        gap = self.block_c - self.settle_c
        if self.air_c is not None or self.at_once or gap == 0:
            return None
        lead = (self.block_c - self.sensor_c) * self.tau_s / gap
        spread = 1 / self.lag_s - 1 / self.tau_s
        if lead <= 0 or spread * lead <= -1:
            return None
        passed = lead if abs(spread * lead) < 1e-12 else math.log1p(spread * lead) / spread
        return self.start_s + passed if self.start_s + passed < until_s else None


def _response(passed_s: float, tau_s: float, lag_s: float) -> float:
    """Return what a first-order lag makes of exp(-t / tau), also where lag and tau meet."""
    slow, fast = 1 / max(tau_s, lag_s), 1 / min(tau_s, lag_s)
    spread = fast - slow
    ratio = passed_s if spread * passed_s < 1e-12 else -math.expm1(-spread * passed_s) / spread
    return math.exp(-slow * passed_s) * ratio / lag_s


def _first(test: Callable[[float], bool], low: float, high: float) -> float:
    """Return the earliest true point of a test false at `low`, true at `high`, turning once."""
    while high - low > _RESOLUTION_S:
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (low, middle) if test(middle) else (middle, high)
    return high


@frozen
class Course:
    """A run of stages from time 0 on; the reading follows the sensor by `delay_s`."""

    stages: tuple[Stage, ...]
    delay_s: float = 0.0

    def block_c(self, time_s: float) -> float:
        """Return the block's temperature."""
        return self._stage(time_s).block_at(time_s)

    def reading_c(self, time_s: float) -> float:
        """Return what the sensor shows."""
        own = time_s - self.delay_s
        return self.stages[0].sensor_c if own < 0 else self._stage(own).sensor_at(own)

    def rate_k_s(self, time_s: float) -> float:
        """Return how fast the reading changes."""
        own = time_s - self.delay_s
        if own < 0:
            return 0.0
        stage = self._stage(own)
        if stage.at_once:
            drop = stage.settle_c - stage.block_at(own)
            return drop / stage.tau_s if stage.air_c is None else 0.0
        drives = stage.block_at(own) if stage.air_c is None else stage.air_c
        return (drives - stage.sensor_at(own)) / stage.lag_s

    def _stage(self, time_s: float) -> Stage:
        if self.stages[-1].start_s <= time_s:
            return self.stages[-1]
        begun = (stage for stage in reversed(self.stages) if stage.start_s <= time_s)
        return next(begun, self.stages[0])

    def then(self, time_s: float, settle_c: float, tau_s: float) -> "Course":
        """Return the course with power or loss changed at a time after its last stage began."""
        last = self.stages[-1]
        state = last.block_at(time_s), last.sensor_at(time_s)
        stage = Stage(time_s, *state, settle_c, tau_s, last.lag_s, last.air_c)
        return evolve(self, stages=(*self.stages, stage))

    def turns_s(self, until_s: float) -> Iterator[float]:
        """Yield, rising, the times that split the reading into stretches without a turn."""
        yield 0.0
        ends = (*(stage.start_s for stage in self.stages[1:]), until_s)
        for stage, end in zip(self.stages, ends, strict=True):
            turn = stage.turn_s(end)
            marks = (stage.start_s, turn, end)
            yield from (m + self.delay_s for m in marks if m is not None)

    def first(self, test: Callable[[float], bool], from_s: float, until_s: float) -> float | None:
        """Return the first time at which the reading passes a one-sided test; None for never.

        `test` compares the reading in C with one level; `until_s` ends the search.
        """

        def passes(time_s: float) -> bool:
            return test(self.reading_c(time_s))

        if passes(from_s):
            return from_s
        marks = [mark for mark in self.turns_s(until_s) if from_s < mark < until_s] + [until_s]
        for low, high in zip([from_s, *marks], marks, strict=False):
            if passes(high):
                return _first(passes, low, high)
        return None

    def samples(self, until_s: float, count: int = 121) -> tuple[Sample, ...]:
        """Return `count` samples from 0 to `until_s`, evenly spaced; one if that is 0.

        Raises:
            ValueError: time or count outside its allowed range.
        """
        last = int(_COUNT.check(count)) - 1
        end = DURATION.check(until_s)
        times = (end * i / last for i in range(count if end else 1))
        return tuple(Sample(time, self.block_c(time), self.reading_c(time)) for time in times)


def heating(power_w: float, from_c: float, ambient_c: float, block: ThermalBlock) -> Course:
    """Return the course at constant power from a block and sensor that had settled at `from_c`.

    Raises:
        ValueError: power or a temperature outside its allowed range.
    """
    start, settle = TEMPERATURE.check(from_c), settle_c(power_w, ambient_c, block)
    stage = Stage(0.0, start, start, settle, block.tau_s, block.sensor_lag_s)
    return Course((stage,), block.dead_time_s)


def trajectory(
    power_w: float,
    from_c: float,
    ambient_c: float,
    block: ThermalBlock,
    until_s: float,
    count: int = 121,
) -> tuple[Sample, ...]:
    """Return block and reading at constant power, `count` samples from 0 to `until_s`.

    Raises:
        ValueError: a figure outside its allowed range.
    """
    return heating(power_w, from_c, ambient_c, block).samples(until_s, count)
