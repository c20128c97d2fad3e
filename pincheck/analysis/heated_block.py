"""What a heater heats: what the firmware measured, else what the part states, else a band.

Nobody knows the heat capacity and loss of a block that was not measured, so each has a lowest and
a highest value, and what is said of a fault must hold over all of them.
"""

from collections.abc import Mapping

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin, part_of
from pincheck.analysis.heater_element import resistance_ohm
from pincheck.analysis.measured_model import MeasuredModel, measured_model
from pincheck.model.finding import Input
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.role import sibling
from pincheck.model.threshold import Threshold
from pincheck.physics.bounds import RATED_POWER
from pincheck.physics.heater import power_w
from pincheck.physics.thermal import PLATE, ThermalBlock

_MEASURED_PCT = 10.0
"""Figures of one block, measured twice, agree within that (`common practice`)."""

_LIGHTER = "common practice: few are lighter than the lightest that was published"
LIGHTEST = Threshold(
    0.8, "share", "the firmware model's heat capacity or loss over the least common", _LIGHTER,
    below="fault: no such block exists, and the model is not used", above="taken as measured",
)  # fmt: skip
HEAVIEST = Threshold(
    2.0, "share", "the firmware model's heat capacity or loss over the most common",
    "common practice: some are heavier than the heaviest that was published",
    below="taken as measured", above="fault: no such block exists, and the model is not used",
)  # fmt: skip

_LIGHT = ThermalBlock(8.0, 0.04, 0.05, sensor_lag_s=1.0, dead_time_s=0.5, loose_lag_s=20.0)
_HEAVY = ThermalBlock(20.0, 0.15, 0.05, sensor_lag_s=10.0, dead_time_s=5.0, loose_lag_s=5.0)
"""The ends of what users measured of real hot ends and published: 8 to 20 J/K, 0.04 to 0.15 W/K;
the 18 to 24 W that hold 210 C in the fan's air lie inside."""

_PLATE_W = 200.0
_LIGHT_PLATE = ThermalBlock(200.0, 0.5, 0.0, sensor_lag_s=2.0, dead_time_s=1.0, loose_lag_s=20.0)
_HEAVY_PLATE = ThermalBlock(2000.0, 3.3, 0.0, sensor_lag_s=20.0, dead_time_s=5.0, loose_lag_s=5.0)
"""For that power a plate warms by 0.1 to 1 K/s and settles 60 to 400 K above the room: 1.5 mm
of circuit board to 8 mm of aluminium at 0.3 to 1 W/cm2 (`common practice`). It grows with its
heater, for both do with the area."""

_FIGURES = (("heat capacity", "heat_capacity_j_k", "J/K"), ("heat loss", "loss_w_k", "W/K"))


@frozen
class Heated:
    """A block or plate and where its figures came from; `assumed` where nobody gives them.

    `block` is the usual one; `light` and `heavy` are the ends of its band: the least and the most
    heat capacity, loss and lag. `fan_assumed` says that nobody gives the loss to the part fan.
    """

    block: ThermalBlock
    light: ThermalBlock
    heavy: ThermalBlock
    origin: str
    assumed: bool = False
    fan_assumed: bool = True

    @property
    def ends(self) -> tuple[ThermalBlock, ...]:
        """The block as given, else both ends of its band."""
        return (self.light, self.heavy) if self.assumed else (self.block,)

    def inputs(self) -> tuple[Input, ...]:
        """Return heat capacity and loss with where they came from, an assumed one as its ends."""
        names = ("least ", "most ") if self.assumed else ("",)
        return tuple(
            Input(f"{end}{name}", getattr(block, attribute), unit, self.origin)
            for name, attribute, unit in _FIGURES
            for end, block in zip(names, self.ends, strict=True)
        )

    def holds(self, figures: Mapping[str, float]) -> bool:
        """Return whether figures that somebody measured may be those of such a block."""
        return all(
            getattr(self.light, name) * LIGHTEST
            <= figures[name]
            <= getattr(self.heavy, name) * HEAVIEST
            for name in ("heat_capacity_j_k", "loss_w_k")
        )


def heated_by(case: Case, role: str) -> Heated:
    """Return what a heater heats."""
    usual, model = usual_for(case, role), measured_model(case, role)
    if model and usual.holds(model.figures):
        said_by = f"the firmware's model at {origin(model.claim)}"
        return _within(usual, model.figures, None, said_by)
    return _stated(case, role, usual) or usual


def wild_model(case: Case, role: str) -> MeasuredModel | None:
    """Return the firmware's model where its figures are those of no block there is."""
    model = measured_model(case, role)
    return model if model and not usual_for(case, role).holds(model.figures) else None


def usual_for(case: Case, role: str) -> Heated:
    """Return the band of what is common, whatever anybody gives of this one."""
    blocks = ThermalBlock(), _LIGHT, _HEAVY
    if roles.family(role).split(".")[0] == "bed":
        wired = case.trace.find(role)
        area = min((wired and _rated_w(wired)) or _PLATE_W, RATED_POWER.high) / _PLATE_W
        blocks = _sized(PLATE, area), _sized(_LIGHT_PLATE, area), _sized(_HEAVY_PLATE, area)
    return Heated(*blocks, "assumed from what is common", assumed=True)


def _rated_w(wired: Wired) -> float | None:
    """Return the power that a heater was made for, whatever it hangs on now."""
    ohm, volt = resistance_ohm(wired), wired.part.rated_v or wired.supply_v
    return wired.part.power_w or (power_w(volt, ohm) if volt and ohm else None)


def _sized(plate: ThermalBlock, area: float) -> ThermalBlock:
    capacity, loss = plate.heat_capacity_j_k * area, plate.loss_w_k * area
    return evolve(plate, heat_capacity_j_k=capacity, loss_w_k=loss)


def _stated(case: Case, role: str, usual: Heated) -> Heated | None:
    kind = {"bed": "plate", "hotend": "block"}.get(roles.family(role).split(".")[0])
    wired = case.trace.find(sibling(role, kind)) if kind else None
    if wired is None:
        return None
    part, names = wired.part, ("heat_capacity_j_k", "loss_w_k", "fan_loss_w_k")
    given = {name: getattr(part, name) for name in names if getattr(part, name) is not None}
    if part.lag_s is not None:
        ends = (evolve(b, sensor_lag_s=part.lag_s) for b in (usual.block, usual.light, usual.heavy))
        block, light, heavy = ends
        usual = Heated(block, light, heavy, usual.origin, assumed=True)
    return _within(usual, given, part.tolerance_pct, part_of(wired)) if given else usual


def _within(
    usual: Heated, given: Mapping[str, float], tolerance_pct: float | None, said_by: str
) -> Heated:
    """Return the band narrowed to the figures that are given, each within its tolerance."""
    share = (_MEASURED_PCT if tolerance_pct is None else tolerance_pct) / 100

    def narrowed(block: ThermalBlock, by: float) -> ThermalBlock:
        return evolve(block, **{name: figure * by for name, figure in given.items()})

    return Heated(
        narrowed(usual.block, 1.0),
        narrowed(usual.light, 1.0 - share),
        narrowed(usual.heavy, 1.0 + share),
        said_by,
        assumed=not {"heat_capacity_j_k", "loss_w_k"} <= given.keys(),
        fan_assumed="fan_loss_w_k" not in given,
    )
