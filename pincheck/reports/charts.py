"""The curves of a role: what its sensor reads wrong, how its protection answers a fault."""

from collections.abc import Callable, Iterator, Mapping

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.heater_faults import fallen_out, loose, out_at_warm_up
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.analysis.sensor_chain import Chain, chain
from pincheck.analysis.weakest_limit import bounds
from pincheck.model.finding import Finding, Result
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.role import split
from pincheck.physics.believed import readings
from pincheck.physics.protection import FaultOutcome, Protection

ChartPoint = tuple[float, float]

_SENSOR_ATTRIBUTES = frozenset(("table", "pullup_ohm", "series_ohm", "reference_ohm"))
_FAULT_ATTRIBUTES = frozenset(
    (
        "protection",
        "trip_period_s",
        "trip_hysteresis_c",
        "watch_period_s",
        "watch_increase_c",
        "max_error_ks",
        "model_rate_k_s",
    )
)

_FAULTS: Mapping[str, tuple[Callable[[Scene, Protection], FaultOutcome], str]] = {
    "sensor-out-at-warm-up": (out_at_warm_up, "warming up with the sensor beside it"),
    "heater-loose-unnoticed": (loose, "the heater comes loose"),
}


@frozen
class Series:
    """One curve: its name, a word for it over a column, and its points, x rising."""

    name: str
    short: str
    points: tuple[ChartPoint, ...]

    def at(self, x: float) -> float | None:
        """Return the value at `x` on the straight line between two points; None beyond them."""
        for (x0, y0), (x1, y1) in zip(self.points, self.points[1:], strict=False):
            if x0 <= x <= x1:
                return y0 if x1 == x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0)
        return None


@frozen
class Chart:
    """Curves over one axis, levels they are held against, figures to read beside them.

    The first of `said` stands above the figures, the others below.
    `levels` lie across (a value of y), `marks` stand upright (a value of x); both are named.
    """

    title: str
    x_name: str
    x_unit: str
    y_name: str
    y_unit: str
    series: tuple[Series, ...]
    levels: tuple[tuple[float, str], ...] = ()
    marks: tuple[tuple[float, str], ...] = ()
    said: tuple[str, ...] = ()
    step: float = 20.0
    """Distance of the figures along x."""


def charts(result: Result, role: str) -> tuple[Chart | str, ...]:
    """Return the charts of a role's group, a reason in place of one that cannot be drawn."""
    case = Case(result.claims, result.trace, result.assembly)
    group = role.partition(".")[0]
    mine = [wired for wired in result.trace.wired if wired.role.partition(".")[0] == group]
    sensors = [wired for wired in mine if split(wired.role)[2] == "sensor" and wired.part.sensor]
    heaters = [wired for wired in mine if split(wired.role)[2] == "heater"]
    return (
        *(sensor_chart(case, wired) for wired in sensors),
        *(fault_chart(case, wired) for wired in heaters),
    )


def of_finding(result: Result, finding: Finding) -> Iterator[Chart]:
    """Yield the charts that explain a finding."""
    case = Case(result.claims, result.trace, result.assembly)
    for role, attribute in finding.spots:
        wired = result.trace.find(role)
        found: Chart | str = ""
        if wired and attribute in _SENSOR_ATTRIBUTES:
            found = sensor_chart(case, wired)
        elif wired and attribute in _FAULT_ATTRIBUTES:
            found = fault_chart(case, wired, finding.rule)
        if isinstance(found, Chart):
            yield found


def sensor_chart(case: Case, wired: Wired) -> Chart | str:
    """Return believed less true temperature over the true one, or why it is not known."""
    both, plain = chain(case, wired), roles.name(wired.role)
    if not isinstance(both, Chain):
        return f"{plain}: no curve, {both.reason if both else 'the files name no sensor'}"
    top = 140.0 if wired.role.startswith("bed") else 300.0
    rows = tuple(
        readings(
            both.curve,
            both.divider,
            both.assumed_curve,
            both.assumed_divider,
            high_c=top,
            step_c=top / 60,
        )
    )
    if not rows:
        return f"{plain}: no curve, the fitted sensor holds nothing from 0 to {top:g} C"
    # The worst of the whole range: an error at one temperature hides what another one does.
    worst = max(rows, key=lambda row: abs(row.error_c))
    return Chart(
        title=f"{plain}: how wrong the firmware reads it",
        x_name="true temperature",
        x_unit="C",
        y_name="error",
        y_unit="K",
        series=(Series("believed less true", "error", tuple((r.true_c, r.error_c) for r in rows)),),
        levels=((0.0, ""),),
        marks=_limits(case, wired.role, top),
        said=(
            f"worst {worst.error_c:+.0f} K at a true {worst.true_c:.0f} C",
            f"fitted: {both.fitted.name}",
            f"assumed: {both.assumed.name}",
            "below zero it reads too cold and overheats",
        ),
        step=top / 15,
    )


def _limits(case: Case, role: str, top: float) -> tuple[tuple[float, str], ...]:
    found = sorted(bounds(case, role.partition(".")[0]), key=lambda bound: bound.max_c)
    return tuple((bound.max_c, bound.what) for bound in found[:1] if bound.max_c <= top)


def fault_chart(case: Case, wired: Wired, rule: str = "") -> Chart | str:
    """Return block and reading over time in the fault that a rule asks for, or why not.

    Other rules, and none, get the sensor that falls out in a print.
    """
    found, plain = scene(case, wired), roles.name(wired.role)
    if not isinstance(found, Scene):
        return f"{plain}: no course of a fault, {found}"
    # The fault that the rule speaks of, or the curve would contradict the finding beside it.
    comes, what = _FAULTS.get(rule, (fallen_out, f"the sensor falls out at {found.at_c:.0f} C"))
    answer = comes(found, found.protection)
    course = answer.trajectory
    weakest = found.weakest
    return Chart(
        title=f"{plain}: {what}",
        x_name="time",
        x_unit="s",
        y_name="temperature",
        y_unit="C",
        series=(
            Series("block, really", "block", tuple((s.time_s, s.block_c) for s in course)),
            Series("what is read", "read", tuple((s.time_s, s.sensor_c) for s in course)),
        ),
        levels=((weakest.max_c, weakest.what),) if weakest else (),
        said=_answer(answer),
        step=_round_step(course[-1].time_s / 12),
    )


def _answer(answer: FaultOutcome) -> tuple[str, ...]:
    if answer.cut_after_s is None or answer.block_c_at_cut is None:
        settles = answer.course.stages[-1].settle_c
        return (f"nothing cuts the heater; the block settles at {settles:.0f} C",)
    return (
        f"cut after {answer.cut_after_s:.0f} s, the block at {answer.block_c_at_cut:.0f} C then",
    )


def _round_step(rough: float) -> float:
    return next((s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500) if s >= rough), 1000.0)
