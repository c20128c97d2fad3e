"""A fitted sensor on its board's pull-up, beside the sensor and pull-up the firmware assumes."""

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin, part_of, value
from pincheck.analysis.weakest_limit import bounds
from pincheck.model.claim import Claim, SensorValue
from pincheck.model.finding import Input, Number, Unchecked
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.model.wiring import Part
from pincheck.physics.believed import SensorReading, reading, resolution_c, true_c_when
from pincheck.physics.curve import Curve, OutOfRange
from pincheck.physics.divider import Converter, Divider, RtdAmplifier, parallel_ohm
from pincheck.physics.shares import SharesCurve
from pincheck.physics.tolerance import ToleranceBand, ntc_band
from pincheck.sensors import (
    Sensor,
    catalogue,
    fitted,
    from_letters,
    from_points,
    from_shares,
    same_part,
    spelled,
)

_USUAL_C = {"bed": (25.0, 60.0, 100.0), "chamber": (25.0, 60.0)}
_HOT_C = (25.0, 100.0, 200.0, 240.0)
_USUAL_BITS = 12

_FINE_BITS, _FINE_COUNTS, _COARSE_COUNTS = 12, 5, 2
"""Total unadjusted error of a 12-bit converter inside a chip, up to 5 counts (STM32F4 data sheets,
ADC characteristics, from memory), and of a 10-bit one (ATmega2560 data sheet, from memory)."""
_RTD_K = 0.5
"""Total accuracy of a digital RTD converter (MAX31865 data sheet, from memory)."""

SAME_REFERENCE = Threshold(
    0.005, "share", "assumed reference resistor off the fitted one",
    "common practice: they are of 0.1 %, and 1 % off reads 3 K off at 100 C",
    below="agrees", above="advice at least, by what the reading is off",
)  # fmt: skip


@frozen
class Chain:
    """Both ends of one sensor: what is fitted and what the firmware takes for granted.

    `divider` and `assumed_divider` are the converters of the two. `pullup` is the claim that
    sets the assumed pull-up, if any.
    """

    wired: Wired
    claim: Claim
    fitted: Sensor
    assumed: Sensor
    curve: Curve
    assumed_curve: Curve
    divider: Converter
    assumed_divider: Converter
    pullup: Claim | None
    probed_c: tuple[float, ...]
    assumed_at: str = ""
    """Where the files set the assumed pull-up or reference resistor, empty where none does."""

    @property
    def by_class(self) -> bool:
        """Whether the firmware names the class of the fitted part, and its curve is known so only.

        Nothing published tells then which of the curves in use for it is nearer.
        """
        return self.fitted.modelled and same_part(self.assumed.id, self.fitted.id)

    def readings(
        self, assumed_divider: Converter | None = None, at_c: tuple[float, ...] = ()
    ) -> tuple[SensorReading, ...]:
        """Return what the firmware believes at each temperature that the curve holds.

        Without `at_c` these are the probed ones.
        """
        low, high = self.curve.low_c, self.curve.high_c
        taken = assumed_divider or self.assumed_divider
        return tuple(
            reading(at, self.curve, self.divider, self.assumed_curve, taken)
            for at in at_c or self.probed_c
            if low <= at <= high
        )

    def really_c(self, shown_c: float) -> SensorReading | None:
        """Return how hot the part is when the firmware shows `shown_c`; None: it never does."""
        try:
            return true_c_when(
                shown_c, self.curve, self.divider, self.assumed_curve, self.assumed_divider
            )
        except OutOfRange:
            return None

    @property
    def ends(self) -> tuple[Converter, Converter]:
        """The converter that is fitted and the one that is assumed."""
        return self.divider, self.assumed_divider

    @property
    def same_ratio(self) -> bool:
        """Whether a platinum sensor stands to its reference resistor as the firmware takes it.

        A converter gives nothing but this ratio: nominal and reference wrong alike read right.
        """
        fitted, taken = self.divider, self.assumed_divider
        if not (isinstance(fitted, RtdAmplifier) and isinstance(taken, RtdAmplifier)):
            return False
        if not self.fitted.kind == self.assumed.kind == "platinum":
            return False
        off = taken.reference_ohm / fitted.reference_ohm
        return abs(off * self.curve.ohm(0.0) / self.assumed_curve.ohm(0.0) - 1) <= SAME_REFERENCE

    @property
    def says_no_pullup(self) -> bool:
        """Whether the firmware looks shares up in a table that nothing gives a pull-up for."""
        by_share = isinstance(self.assumed_curve, SharesCurve)
        return by_share and self.pullup is None and self.assumed.pullup_ohm is None

    @property
    def one_nominal(self) -> bool:
        """Whether the style has one word for every platinum sensor behind a converter.

        Its reference resistor has to make up for another nominal, then.
        """
        return self.fitted.kind == "platinum" and self.assumed.reference_ohm is not None

    @property
    def reference_wanted_ohm(self) -> float:
        """The reference resistor that makes the firmware read right, in ohm."""
        assert isinstance(self.divider, RtdAmplifier)
        share = self.assumed_curve.ohm(0.0) / self.curve.ohm(0.0) if self.one_nominal else 1.0
        return self.divider.reference_ohm * share

    def shown_c(self, ohm: float) -> float | None:
        """Return what is shown for `ohm` at the converter, None off the assumed curve."""
        taken = self.assumed_divider.ohm_at(self.divider.fraction(ohm))
        curve = self.assumed_curve
        ends = sorted((curve.ohm(curve.low_c), curve.ohm(curve.high_c)))
        return curve.temp_c(taken) if ends[0] < taken < ends[1] else None

    def band(self, true_c: float) -> ToleranceBand | None:
        """Return the tolerance of part, pull-up and converter, None where nobody gives the part's.

        The reference resistor behind a digital converter counts as exact.
        """
        by_pullup = isinstance(self.divider, Divider)
        pullup_pct = self.divider.tolerance_pct if isinstance(self.divider, Divider) else 0.0
        try:
            band = part_band(self.wired.part, self.fitted, self.curve, true_c, pullup_pct)
            count_k = resolution_c(true_c, self.curve, self.divider) if by_pullup else 0.0
        except ValueError:  # a tolerance or temperature that the formula does not hold for
            return None
        counts = _FINE_COUNTS if self.divider.bits >= _FINE_BITS else _COARSE_COUNTS
        converter_k = counts * count_k if by_pullup else _RTD_K
        return band and evolve(
            band, converter_k=converter_k, curve_k=self.fitted.uncertainty_k(true_c)
        )

    def number(self, name: str, row: SensorReading) -> Number:
        """Return what the firmware believes, with the resistances on the way to it."""
        ohm = self.curve.ohm(row.true_c)
        seen = self.divider.fraction(ohm)
        given = (
            Input(f"R at {row.true_c:.0f} C", ohm, "ohm", self.fitted.name),
            Input("share of full scale", seen, "", "fitted"),
            Input("R computed", self.assumed_divider.ohm_at(seen), "ohm", "assumed"),
        )
        how = "share = R / fitted reference, R computed = assumed reference x share"
        if isinstance(self.divider, Divider):
            how = (
                "share = R / (R + fitted pull-up), "
                "R computed = assumed pull-up x share / (1 - share)"
            )
            if any(isinstance(end, Divider) and end.series_ohm for end in self.ends):
                how += ", R with what is in line"
        formula = f"{how}, T of the assumed sensor at R computed"
        return Number(name, row.believed_c, "C", formula, (*given, *self.inputs()), self.source())

    def inputs(self) -> tuple[Input, ...]:
        """Return where both ends came from."""
        what = "pull-up" if isinstance(self.divider, Divider) else "reference"
        fitted, taken = self.divider, self.assumed_divider
        in_line = (
            Input(f"{whose} resistor in line", end.series_ohm, "ohm", "between sensor and pull-up")
            for whose, end in (("fitted", fitted), ("assumed", taken))
            if isinstance(end, Divider) and end.series_ohm
        )
        scales = (
            Input(f"{whose} scale", end.scale, "", "pull-up's voltage over the converter's, gain")
            for whose, end in (("fitted", fitted), ("assumed", taken))
            if isinstance(end, Divider) and end.scale != 1.0
        )
        return (
            Input("fitted sensor", self.fitted.name, "", part_of(self.wired)),
            Input("assumed sensor", self.assumed.name, "", origin(self.claim)),
            Input(f"fitted {what}", _ohm(fitted), "ohm", f"wiring of {self.wired.role}"),
            Input(f"assumed {what}", _ohm(taken), "ohm", self.assumed_at or "firmware's default"),
            *in_line,
            *scales,
        )

    def source(self) -> str:
        """Return the sources of both curves."""
        return "; ".join(dict.fromkeys(filter(None, (self.fitted.source, self.assumed.source))))


def part_band(
    part: Part, fitted: Sensor, curve: Curve, true_c: float, pullup_pct: float
) -> ToleranceBand | None:
    """Return the tolerance of a fitted sensor and its pull-up, None where nobody gives any.

    Raises:
        ValueError: a tolerance or temperature that the formula does not hold for.
    """
    if fitted.kind != "ntc":
        return fitted.band(true_c, pullup_pct)
    r25_pct = fitted.r25_pct if part.tolerance_pct is None else part.tolerance_pct
    beta_pct = fitted.beta_pct if part.beta_tolerance_pct is None else part.beta_tolerance_pct
    return ntc_band(true_c, curve, r25_pct, beta_pct, pullup_pct) if r25_pct or beta_pct else None


def _ohm(converter: Converter) -> float:
    if isinstance(converter, Divider):
        return converter.pullup_ohm
    assert isinstance(converter, RtdAmplifier)
    return converter.reference_ohm


def assumed_sensor(case: Case, claim: Claim) -> Sensor | None:
    """Return what the firmware assumes under a claim, None where nobody knows."""
    value_ = claim.value
    assert isinstance(value_, SensorValue)
    if value_.figures:
        return described_sensor(value_)
    return spelled(case.claims.style, value_.written) or catalogue().get(value_.sensor)


def described_sensor(value_: SensorValue) -> Sensor | None:
    """Return the sensor that a user's own figures describe, None where they are of none."""
    figures = dict(value_.figures)
    points, shares, ohm = map(figures.get, ("points", "shares", "pullup_ohm"))
    try:
        if isinstance(shares, tuple):
            pullup_ohm = ohm if isinstance(ohm, float) else None
            return from_shares(shares, value_.written, value_.at, pullup_ohm)
        if isinstance(points, tuple):
            return from_points(points)
        return from_letters(figures.get("r25_ohm"), figures.get("beta_k"), figures.get("c"))  # type: ignore[arg-type]
    except ValueError:
        return None


def behind_converter(case: Case, claim: Claim) -> Sensor | None:
    """Return the platinum sensor that is assumed behind a digital converter, None if none is.

    The files name it, or the style knows no other one; then it has the usual reference, too.
    """
    assert isinstance(claim.value, SensorValue)
    read_by = spelled(case.claims.style, claim.value.written)
    if read_by is None or read_by.kind != "amplifier":
        return None
    if read_by.reference_ohm and len(read_by.elements) == 1:
        return evolve(catalogue()[read_by.elements[0]], reference_ohm=read_by.reference_ohm)
    named = catalogue().get(claim.value.sensor)
    return named if named and named.kind == "platinum" else None


def chain(case: Case, wired: Wired) -> Chain | Unchecked | None:
    """Return both ends of a fitted sensor, why they are not known, or None without a claim."""
    name = f"chain of {wired.role}"
    if name not in case.kept:
        case.kept[name] = _chain(case, wired)
    kept: Chain | Unchecked | None = case.kept[name]
    return kept


def _chain(case: Case, wired: Wired) -> Chain | Unchecked | None:
    role = wired.role
    claim = case.known(role, "table")
    if not isinstance(claim, Claim):
        return claim
    assumed = assumed_sensor(case, claim)
    if wired.path.amplifier:
        assumed = behind_converter(case, claim) or assumed
    return joined(case, wired, claim, assumed)


def joined(case: Case, wired: Wired, claim: Claim, assumed: Sensor | None) -> Chain | Unchecked:
    """Return the fitted sensor beside what the firmware assumes, or why they cannot be compared."""
    role, part = wired.role, fitted(wired.part)
    if part is None:
        return Unchecked(role, "table", f"part {wired.part.id} names no sensor of the catalogue")
    if assumed is None:
        return Unchecked(role, "table", _undescribed(claim))
    if part.curve is None or assumed.curve is None:
        lacking = part if part.curve is None else assumed
        return Unchecked(role, "table", _no_curve(lacking, claim))
    # A converter compares with its reference resistor and has no pull-up.
    pullup = None if wired.path.reference_ohm else case.known(role, "pullup_ohm")
    if isinstance(pullup, Unchecked):
        # Some firmware has no value of its own and takes its board's: the fitted one then.
        if case.claims.find(role, "pullup_ohm") or assumed.pullup_ohm is not None:
            return Unchecked(role, "table", pullup.reason)
        pullup = None
    divider = _fitted_divider(case, wired)
    if isinstance(divider, str):
        return Unchecked(role, "table", divider)
    taken = _assumed_divider(case, wired, assumed, pullup, divider)
    if isinstance(taken, str):
        return Unchecked(role, "table", taken)
    assumed_curve = assumed.curve
    if isinstance(assumed_curve, SharesCurve) and isinstance(taken, Divider):
        assumed_curve = evolve(assumed_curve, pullup_ohm=taken.pullup_ohm)
    group = role.split(".")[0]
    limits = (bound.best_c for bound in bounds(case, group) if bound.whole)
    usual = _USUAL_C.get(roles.family(role).split(".")[0], _HOT_C)
    probed = tuple(sorted({*usual, *limits}))
    setting = pullup if isinstance(divider, Divider) else case.known(role, "reference_ohm")
    return Chain(
        wired,
        claim,
        part,
        assumed,
        part.curve,
        assumed_curve,
        divider,
        taken,
        pullup,
        probed,
        origin(setting) if isinstance(setting, Claim) else "",
    )


def _no_curve(lacking: Sensor, claim: Claim) -> str:
    assert isinstance(claim.value, SensorValue)
    reason = lacking.reason or f"no curve is known of {lacking.name}"
    return f"table {claim.value.written}: {reason}" if lacking.source == "none" else reason


def _undescribed(claim: Claim) -> str:
    assert isinstance(claim.value, SensorValue)
    if claim.value.figures:
        return f"the figures of {claim.value.written} are those of no sensor"
    return f"nobody knows what {claim.value.written} assumes"


def _bits(case: Case, wired: Wired) -> int:
    chip = case.chip_on(wired.place.board) if wired.place else None
    return chip.converter_bits if chip and chip.converter_bits else _USUAL_BITS


def _fitted_divider(case: Case, wired: Wired) -> Converter | str:
    path = wired.path
    if path.reference_ohm:
        return RtdAmplifier(path.reference_ohm)
    if path.amplifier:
        return f"the gain of the amplifier {path.amplifier} is not known"
    if not path.pullups:
        return "the wiring gives no pull-up for the sensor"
    chip = case.chip_on(wired.place.board) if wired.place else None
    ohm = parallel_ohm(*(pull.ohm for pull in path.pullups))
    # Pull-ups to several voltages act as one to their mean, weighted by conductance (Millman).
    volt = round(ohm * sum(pull.to_v / pull.ohm for pull in path.pullups), 6)
    scale = volt / chip.logic_v if chip and chip.logic_v else 1.0
    return Divider(ohm, _bits(case, wired), path.pullups[0].tolerance_pct, path.series_ohm, scale)


def _assumed_divider(
    case: Case, wired: Wired, assumed: Sensor, pullup: Claim | None, fitted: Converter
) -> Converter | str:
    if isinstance(fitted, RtdAmplifier):
        reference = case.known(wired.role, "reference_ohm")
        if isinstance(reference, Unchecked):
            return reference.reason
        ohm = value(reference) if reference else assumed.reference_ohm
        return RtdAmplifier(ohm) if ohm else "the assumed reference resistor is not known"
    assert isinstance(fitted, Divider)
    ohm = value(pullup) if pullup else assumed.pullup_ohm or fitted.pullup_ohm
    series = case.known(wired.role, "series_ohm")
    if isinstance(series, Unchecked) and case.claims.find(wired.role, "series_ohm"):
        return series.reason
    in_line_ohm = value(series) if isinstance(series, Claim) else 0.0
    return Divider(ohm, fitted.bits, series_ohm=in_line_ohm, scale=assumed.scale)
