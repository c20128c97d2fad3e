"""The fitted heater on its real supply, under the firmware's power cap."""

from attrs import evolve

from pincheck.analysis.case import Case, claimed, part_of, value
from pincheck.model.claim import Claim
from pincheck.model.finding import Input, Unchecked
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.physics import heater
from pincheck.physics.bounds import POWER

_USUAL_PCT = 10.0
"""Elements are made within 5 to 10 % (`common practice`)."""


@frozen
class HeaterElement:
    """One heater: `duty` is the firmware's cap (0 to 1), `cap` the claim that sets it."""

    wired: Wired
    volt: float
    ohm: float
    duty: float = 1.0
    cap: Claim | None = None

    @property
    def tolerance(self) -> float:
        """How far the resistance may be off, as a share."""
        stated = self.wired.part.tolerance_pct
        return (_USUAL_PCT if stated is None else stated) / 100

    def stronger(self, share: float) -> "HeaterElement":
        """Return an element whose resistance is that much lower, as its tolerance may make it."""
        return evolve(self, ohm=max(self.ohm * (1 - share), self.volt**2 / POWER.high))

    @property
    def on_a(self) -> float:
        """Current while the switch is on."""
        return heater.current_a(self.volt, self.ohm)

    @property
    def rms_a(self) -> float:
        """Current that warms copper as much as the capped pulses."""
        return heater.rms_current_a(self.volt, self.ohm, self.duty)

    @property
    def power_w(self) -> float:
        """Mean power at the cap."""
        return heater.power_w(self.volt, self.ohm, self.duty)

    def inputs(self) -> tuple[Input, ...]:
        """Return where voltage, resistance and cap came from."""
        given = (
            Input("supply", self.volt, "V", f"wiring of {self.wired.role}"),
            Input("resistance", self.ohm, "ohm", part_of(self.wired)),
        )
        return (*given, claimed(self.cap)) if self.cap else given


def resistance_ohm(wired: Wired) -> float | None:
    """Return the resistance of a heater from its part or its rating, None where unknown."""
    part = wired.part
    if part.resistance_ohm:
        return part.resistance_ohm
    if part.rated_v and part.power_w:
        return heater.element_ohm(part.rated_v, part.power_w)
    return None


def element(case: Case, wired: Wired) -> HeaterElement | str:
    """Return the heater with its figures, or why they are not known."""
    ohm = resistance_ohm(wired)
    if wired.supply_v is None:
        return "the wiring gives no supply voltage for the heater"
    if ohm is None:
        return f"part {wired.part.id} gives neither resistance nor rating"
    cap = case.known(wired.role, "max_power")
    if isinstance(cap, Unchecked):
        return cap.reason
    duty = value(cap) if isinstance(cap, Claim) else 1.0
    if wired.supply_v**2 / ohm > POWER.high:
        return f"on {wired.supply_v:g} V it would draw more than any heater"
    return HeaterElement(wired, wired.supply_v, ohm, duty, cap)
