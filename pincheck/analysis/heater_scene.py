"""One heater with its block, its power and the firmware's protection, ready for the physics."""

from collections.abc import Callable

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, value
from pincheck.analysis.heated_block import Heated, heated_by
from pincheck.analysis.heater_element import HeaterElement, element
from pincheck.analysis.protection_settings import HOLDING, RISING, protection_of
from pincheck.analysis.weakest_limit import TemperatureBound, weakest
from pincheck.model.claim import Claim
from pincheck.model.finding import Change, Input, Unchecked
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.physics.protection import Protection
from pincheck.physics.thermal import ThermalBlock

USUAL_C = {"hotend": 210.0, "bed": 60.0}
"""Temperatures of an ordinary print with the most common filament (`common practice`).

A machine whose weakest part stands less is judged at what that part stands, one whose firmware
allows less at what it allows.
"""

BELOW_LIMIT_K = Threshold(
    20.0, "K", "what a heater's limit leaves above the room",
    "common practice: half of it for overshoot below the limit, half of it to heat at all",
    below="not checked: there is nothing to heat", above="judged",
)  # fmt: skip


@frozen
class Scene:
    """A heater that is fitted, understood and protected; `claims` are those of its protection.

    `weakest` is what gives way first if each part is the least of its kind, `at_best` if the best.
    """

    wired: Wired
    heater: HeaterElement
    heated: Heated
    protection: Protection
    claims: tuple[Claim, ...]
    ambient_c: float
    at_c: float
    weakest: TemperatureBound | None
    at_best: TemperatureBound | None

    @property
    def block(self) -> ThermalBlock:
        """The block or plate that is heated."""
        return self.heated.block

    @property
    def quick(self) -> "Scene":
        """The scene with all that heats quickly: the lightest block and the strongest heater."""
        return self._with(self.heated.light, self.heater.tolerance)

    @property
    def slow(self) -> "Scene":
        """The scene with all that heats slowly: the heaviest block and the weakest heater."""
        return self._with(self.heated.heavy, -self.heater.tolerance)

    def _with(self, block: ThermalBlock, more: float) -> "Scene":
        return self.of(block, heater=self.heater.stronger(more))

    def of(self, block: ThermalBlock, heater: HeaterElement | None = None) -> "Scene":
        """Return the scene with figures of the block that are certain."""
        heated = evolve(self.heated, block=block, light=block, heavy=block)
        return evolve(self, heated=heated, heater=heater or self.heater)

    @property
    def watched_by(self) -> str:
        """The setting that says when a missing rise is noticed."""
        return "model_rate_k_s" if self.protection.kind == "model" else "watch_period_s"

    @property
    def holding(self) -> tuple[Claim, ...]:
        """The claims that say when a temperature which falls in a print is noticed."""
        names = HOLDING.get(self.protection.kind, ())
        return tuple(claim for claim in self.claims if claim.attribute in names)

    @property
    def rising(self) -> tuple[Claim, ...]:
        """The claims that say when a missing rise is noticed, the foremost first."""
        names = (*RISING.get(self.protection.kind, ()), *(claim.attribute for claim in self.claims))
        return tuple(sorted(self.claims, key=lambda claim: names.index(claim.attribute)))

    def _lags(self, cold: bool) -> tuple[Input, ...]:
        block = self.heated.block
        if not cold:
            return (Input("sensor lag in air", block.loose_lag_s, "s", "common practice"),)
        lag = Input("sensor lag", block.sensor_lag_s, "s", self.heated.origin)
        return lag, Input("dead time", block.dead_time_s, "s", "common practice")

    def inputs(self, *, cold: bool = False) -> tuple[Input, ...]:
        """Return where every figure came from; `cold` for a start at ambient, not in a print."""
        return (
            *self.heater.inputs(),
            *self.heated.inputs(),
            *self._lags(cold),
            Input("target" if cold else "start", self.at_c, "C", "common practice"),
            Input("ambient", self.ambient_c, "C", "assembly"),
            *(claimed(claim) for claim in (self.rising if cold else self.holding)),
        )


def scene(case: Case, wired: Wired, *, even_off: bool = False) -> Scene | str:
    """Return the scene of a fitted heater, or why it cannot be set; see `protection_of`."""
    role = wired.role
    group = roles.family(role).split(".")[0]
    if group not in USUAL_C:
        return f"no ordinary temperature is known for the {roles.name(role)}"
    heater = element(case, wired)
    if isinstance(heater, str):
        return heater
    protection = protection_of(case, role, heater.duty, even_off=even_off)
    if isinstance(protection, str):
        return protection
    least, best = weakest(case, role.split(".")[0]) or (None, None)
    heated, ambient_c = heated_by(case, role), case.assembly.ambient_c
    at_c = min(USUAL_C[group], least.max_c if least else USUAL_C[group])
    settable = settable_c(case, role)
    if settable is not None:
        at_c = min(at_c, settable - BELOW_LIMIT_K / 2)
        if at_c < ambient_c + BELOW_LIMIT_K / 2:
            return f"its limit leaves nothing to heat: it may be set to {settable:g} C"
    return Scene(wired, heater, heated, *protection, ambient_c, at_c, least, best)


def settable_c(case: Case, role: str) -> float | None:
    """Return the highest target that the firmware takes, None where no certain limit is set."""
    limit, margin = case.known(role, "max_c"), case.known(role, "overshoot_c")
    if not isinstance(limit, Claim) or isinstance(margin, Unchecked):
        return None
    return value(limit) - (value(margin) if margin else 0.0)


def with_more_power(found: Scene, holds: Callable[[Scene], bool]) -> tuple[Change, ...]:
    """Return the change to the lowest higher power cap at which `holds` is true."""
    heater = found.heater
    if heater.cap is None:
        return ()
    for duty in (0.25, 0.5, 0.75, 1.0):
        if duty > heater.duty and holds(evolve(found, heater=evolve(heater, duty=duty))):
            weakens = f"power cap raised from {heater.duty:.0%} to {duty:.0%}"
            return (Change(found.wired.role, "max_power", duty, heater.cap, weakens),)
    return ()
