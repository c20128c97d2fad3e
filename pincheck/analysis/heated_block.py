"""What a heater heats: the fitted part's figures, else the firmware's own, else a mass budget."""

from collections.abc import Mapping

from attrs import evolve, frozen

from pincheck.analysis import roles
from pincheck.analysis.case import Case, origin, part_of, value
from pincheck.model.claim import Claim
from pincheck.model.role import sibling
from pincheck.physics.thermal import PLATE, ThermalBlock

_HEAVIEST_J_K: Mapping[str, float] = {"hotend": 20.0, "bed": 5000.0}
"""The most that is common: a long block with its nozzle; 5.5 kg of aluminium at 900 J/kg K."""

_QUICKEST: Mapping[str, ThermalBlock] = {
    "hotend": evolve(
        ThermalBlock(), heat_capacity_j_k=8.0, loss_w_k=0.08, sensor_lag_s=1.0, dead_time_s=0.5
    ),
    "bed": evolve(PLATE, heat_capacity_j_k=100.0, loss_w_k=0.25, sensor_lag_s=2.0, dead_time_s=1.0),
}
"""The least that is common: a small block in a sock; a plate 120 mm square, 3 mm of aluminium."""


@frozen
class Heated:
    """A block or plate and where its figures came from; `assumed` where nobody gives them.

    `fan_assumed` says so of the loss to the part fan alone.
    """

    block: ThermalBlock
    origin: str
    assumed: bool = False
    fan_assumed: bool = True


def heated_by(case: Case, role: str) -> Heated:
    """Return what a heater heats."""
    group = roles.family(role).split(".")[0]
    kind = {"bed": "plate", "hotend": "block"}.get(group)
    wired = case.trace.find(sibling(role, kind)) if kind else None
    usual = PLATE if group == "bed" else ThermalBlock()
    part = wired.part if wired else None
    if wired is None or part is None or not part.heat_capacity_j_k or not part.loss_w_k:
        return _of_model(case, role, usual) or Heated(usual, "assumed from a mass budget", True)
    lag = usual.sensor_lag_s if part.lag_s is None else part.lag_s
    fan = usual.fan_loss_w_k if part.fan_loss_w_k is None else part.fan_loss_w_k
    made = evolve(
        usual,
        heat_capacity_j_k=part.heat_capacity_j_k,
        loss_w_k=part.loss_w_k,
        fan_loss_w_k=fan,
        sensor_lag_s=lag,
    )
    return Heated(made, part_of(wired), fan_assumed=part.fan_loss_w_k is None)


def _of_model(case: Case, role: str, usual: ThermalBlock) -> Heated | None:
    """Return the block that the firmware regulates by, None where it has no such figures."""
    capacity, loss = case.known(role, "heat_capacity_j_k"), case.known(role, "loss_w_k")
    if not isinstance(capacity, Claim) or not isinstance(loss, Claim):
        return None
    made = evolve(usual, heat_capacity_j_k=value(capacity), loss_w_k=value(loss))
    return Heated(made, f"the firmware's model at {origin(capacity)}")


def heaviest(heated: Heated, role: str) -> ThermalBlock:
    """Return the block, an assumed one as heavy as they come."""
    capacity = _HEAVIEST_J_K.get(roles.family(role).split(".")[0])
    if not heated.assumed or capacity is None:
        return heated.block
    return evolve(heated.block, heat_capacity_j_k=capacity)


def quickest(heated: Heated, role: str) -> ThermalBlock:
    """Return the block, an assumed one as light and well insulated as they come."""
    quick = _QUICKEST.get(roles.family(role).split(".")[0])
    return quick if quick and heated.assumed else heated.block
