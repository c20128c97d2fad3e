"""Thermocouples by ITS-90, and the amplifiers that read them."""

import math
from typing import Literal, get_args

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.physics.bounds import allowed
from pincheck.physics.curve import OutOfRange
from pincheck.physics.its90 import K_EXPONENTIAL, REFERENCE

Letter = Literal["K", "J", "T", "E", "N"]
_ROUNDING_MV = 1e-9

LETTERS: tuple[Letter, ...] = get_args(Letter)


@frozen
class Thermocouple:
    """A thermocouple of letter K, J, T, E or N; voltages with the reference junction at 0 C.

    Source: NIST Monograph 175 (ITS-90). A ValueError for another letter.
    """

    letter: Letter = field()

    @letter.validator
    def _known(self, _: object, letter: str) -> None:
        if letter not in LETTERS:
            raise ValueError(f"thermocouple type {letter!r}: allowed are {', '.join(LETTERS)}")

    @property
    def low_c(self) -> float:
        return REFERENCE[self.letter][0][0]

    @property
    def high_c(self) -> float:
        return REFERENCE[self.letter][-1][1]

    def mv(self, temp_c: float) -> float:
        """Return the voltage in mV at `temp_c`.

        Raises:
            OutOfRange: the reference function does not reach there.
        """
        if not self.low_c <= temp_c <= self.high_c:
            raise OutOfRange("temperature", temp_c, self.low_c, self.high_c, "C")
        terms = next(terms for _, top_c, terms in REFERENCE[self.letter] if temp_c <= top_c)
        total = 0.0
        for term in reversed(terms):
            total = total * temp_c + term
        if self.letter == "K" and temp_c > 0.0:
            height, width, middle = K_EXPONENTIAL
            total += height * math.exp(width * (temp_c - middle) ** 2)
        return total

    def temp_c(self, mv: float) -> float:
        """Return the temperature in C that gives `mv`, by halving the reference function.

        Raises:
            OutOfRange: no temperature gives it.
        """
        low, high = self.low_c, self.high_c
        if not self.mv(low) - _ROUNDING_MV <= mv <= self.mv(high) + _ROUNDING_MV:
            raise OutOfRange("voltage", mv, self.mv(low), self.mv(high), "mV")
        for _ in range(60):
            middle = (low + high) / 2.0
            low, high = (middle, high) if self.mv(middle) < mv else (low, middle)
        return (low + high) / 2.0


def read_as_c(
    true_c: float, fitted: Thermocouple, assumed: Thermocouple, junction_c: float = 25.0
) -> float:
    """Return what a compensated converter set for `assumed` shows with `fitted` at `true_c`.

    `junction_c` is the temperature of the terminals, which the converter compensates by the
    law of `assumed`. Beyond the assumed type's range the end of the range is returned.
    """
    seen_mv = fitted.mv(true_c) - fitted.mv(junction_c) + assumed.mv(junction_c)
    try:
        return assumed.temp_c(seen_mv)
    except OutOfRange as end:
        return assumed.low_c if end.value < end.low else assumed.high_c


@frozen
class ThermocoupleAmplifier:
    """An analog amplifier that turns a thermocouple's voltage into a nominal mV per C.

    out = gain (E(T) - E(junction)) + gain E_design(junction) + offset, in mV: `gain` V/V,
    `offset_mv` at the output, `design` the type whose junction it compensates. The firmware
    divides by `mv_per_c` and so keeps the thermocouple's curvature as an error.
    """

    design: Thermocouple
    gain: float
    offset_mv: float = 0.0
    mv_per_c: float = 10.0

    def __attrs_post_init__(self) -> None:
        allowed("gain", self.gain, 1.0, 10000.0, "V/V")
        allowed("offset", self.offset_mv, -1000.0, 1000.0, "mV")
        allowed("scale", self.mv_per_c, 0.1, 100.0, "mV/C")

    def out_mv(self, true_c: float, fitted: Thermocouple, junction_c: float = 25.0) -> float:
        """Return the output in mV with `fitted` at `true_c` and terminals at `junction_c`."""
        seen_mv = fitted.mv(true_c) - fitted.mv(junction_c) + self.design.mv(junction_c)
        return self.gain * seen_mv + self.offset_mv

    def believed_c(
        self,
        true_c: float,
        fitted: Thermocouple,
        junction_c: float = 25.0,
        assumed_mv_per_c: float | None = None,
    ) -> float:
        """Return what firmware shows at `assumed_mv_per_c` (None: the amplifier's own)."""
        scale = self.mv_per_c if assumed_mv_per_c is None else assumed_mv_per_c
        allowed("scale", scale, 0.1, 100.0, "mV/C")
        return self.out_mv(true_c, fitted, junction_c) / scale
