"""One heater with its block, its power and the firmware's protection, ready for the physics."""

from collections.abc import Callable
from typing import Any

from attrs import evolve, frozen

from pincheck.model.claim import Claim
from pincheck.model.finding import Change, Input, Unchecked
from pincheck.model.path import Wired
from pincheck.model.role import sibling
from pincheck.model.setting import Style
from pincheck.physics.protection import ACCUMULATED, MODEL, WINDOW, Protection
from pincheck.physics.thermal import PLATE, Block
from pincheck.rules import words
from pincheck.rules.base import Case, claimed, part_of, value
from pincheck.rules.limits.element import Element, element
from pincheck.rules.limits.weakest import Bound, bounds

USUAL_C = {"hotend": 210.0, "bed": 60.0}
"""Temperatures of an ordinary print with the most common filament (`common practice`).

A machine whose weakest part stands less is judged at what that part stands.
"""

_DEFAULTS: dict[tuple[Style, bool], Protection] = {
    ("define", False): WINDOW,
    ("define", True): Protection("window", 2.0, 20.0, 2.0, 60.0),
    ("section", False): ACCUMULATED,
    ("section", True): evolve(ACCUMULATED, check_gain_s=60.0),
    ("gcode", False): MODEL,
    ("gcode", True): MODEL,
}
"""What each style's firmware takes where nothing is claimed; True is for a bed (from memory)."""

_FIELDS: dict[Style, dict[str, str]] = {
    "define": {
        "trip_period_s": "period_s",
        "trip_hysteresis_c": "hysteresis_c",
        "watch_period_s": "watch_period_s",
        "watch_increase_c": "watch_increase_c",
    },
    "section": {
        "max_error_ks": "max_error_c_s",
        "trip_hysteresis_c": "hysteresis_c",
        "watch_period_s": "check_gain_s",
        "watch_increase_c": "heating_gain_c",
    },
    "gcode": {"trip_period_s": "fault_s", "trip_hysteresis_c": "excursion_c"},
}


@frozen
class Scene:
    """A heater that is fitted, understood and protected; `claims` are those of its protection."""

    wired: Wired
    heater: Element
    block: Block
    block_origin: str
    protection: Protection
    claims: tuple[Claim, ...]
    ambient_c: float
    at_c: float
    weakest: Bound | None

    def inputs(self) -> tuple[Input, ...]:
        """Return where every figure of the thermal model came from."""
        block = self.block
        return (
            *self.heater.inputs(),
            Input("heat capacity", block.heat_capacity_j_k, "J/K", self.block_origin),
            Input("heat loss", block.loss_w_k, "W/K", self.block_origin),
            Input("sensor lag in air", block.loose_lag_s, "s", "common practice"),
            Input("start", self.at_c, "C", "common practice"),
            Input("ambient", self.ambient_c, "C", "assembly"),
            *(claimed(claim) for claim in self.claims),
        )


def scene(case: Case, wired: Wired) -> Scene | str:
    """Return the scene of a fitted heater, or why it cannot be set."""
    role = wired.role
    group = words.family(role).split(".")[0]
    if group not in USUAL_C:
        return f"no ordinary temperature is known for the {words.name(role)}"
    heater = element(case, wired)
    protection = _protection(case, role)
    if isinstance(heater, str):
        return heater
    if isinstance(protection, str):
        return protection
    weakest = min(bounds(case, role.split(".")[0]), key=lambda bound: bound.max_c, default=None)
    at_c = min(USUAL_C[group], weakest.max_c if weakest else USUAL_C[group])
    block, origin = block_of(case, role)
    return Scene(
        wired,
        heater,
        block,
        origin,
        *protection,
        case.assembly.ambient_c,
        at_c,
        weakest,
    )


def with_more_power(found: Scene, holds: Callable[[float], bool]) -> tuple[Change, ...]:
    """Return the change to the lowest higher power cap at which `holds(power in W)` is true."""
    heater = found.heater
    if heater.cap is None:
        return ()
    for duty in (0.25, 0.5, 0.75, 1.0):
        if duty > heater.duty and holds(evolve(heater, duty=duty).power_w):
            weakens = f"power cap raised from {heater.duty:.0%} to {duty:.0%}"
            return (Change(found.wired.role, "max_power", duty, heater.cap, weakens),)
    return ()


def block_of(case: Case, role: str) -> tuple[Block, str]:
    """Return what a heater heats and where its figures came from; assumed where nobody says."""
    group = words.family(role).split(".")[0]
    heated = {"bed": "plate", "hotend": "block"}.get(group)
    wired = case.trace.find(sibling(role, heated)) if heated else None
    assumed = PLATE if group == "bed" else Block()
    part = wired.part if wired else None
    if wired is None or part is None or not part.heat_capacity_j_k or not part.loss_w_k:
        return assumed, "assumed from a mass budget"
    lag = assumed.sensor_lag_s if part.lag_s is None else part.lag_s
    fan = assumed.fan_loss_w_k if part.fan_loss_w_k is None else part.fan_loss_w_k
    made = evolve(
        assumed,
        heat_capacity_j_k=part.heat_capacity_j_k,
        loss_w_k=part.loss_w_k,
        fan_loss_w_k=fan,
        sensor_lag_s=lag,
    )
    return made, part_of(wired)


def _protection(case: Case, role: str) -> tuple[Protection, tuple[Claim, ...]] | str:
    style = case.claims.style
    on = case.known(role, "protection")
    if not isinstance(on, Claim):
        return on.reason if on else "the files do not say whether the heater is protected"
    if not on.value:
        return "its protection is switched off"
    fields: dict[str, Any] = {}
    claims: list[Claim] = []
    for attribute, name in {**_FIELDS[style], "min_c": "min_c", "max_c": "max_c"}.items():
        claim = case.known(role, attribute)
        if isinstance(claim, Unchecked):
            return claim.reason
        if isinstance(claim, Claim):
            fields[name] = value(claim)
            if attribute in _FIELDS[style]:
                claims.append(claim)
    try:
        return evolve(_DEFAULTS[style, role.startswith("bed")], **fields), tuple(claims)
    except ValueError as error:
        return str(error)
