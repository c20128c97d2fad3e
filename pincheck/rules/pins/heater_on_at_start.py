"""The chip pulls the heater's pin up until the firmware runs.

From reset on, before any firmware runs, some chips pull up pins of their debug port, others every
pin. A switch there gets a part of the logic voltage and heats while the chip starts, sits in its
boot loader or is flashed, with no sensor watched. A resistor to ground that is strong enough
keeps it off.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import pairings
from pincheck.model.finding import Agreement, Finding, Input, Moment, Number, Severity
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.physics.divider import parallel_ohm
from pincheck.rules.rule import Outcomes, example, rule

_SURELY_OFF_V = Threshold(
    0.8, "V", "gate voltage while the chip is in reset",
    "common practice: no logic-level transistor conducts at it",
    below="agrees", above="advice: the heater may be on until the firmware runs",
)  # fmt: skip

_NET = '[nets.HEAT0]\nchip_pin = "PC8"'
_PIN = ("toolhead.cfg", "heater_pin: PC8", "heater_pin: PA15")


@rule(
    Severity.ADVICE,
    when=Moment.SWITCH_ON,
    source="pins after reset in the chip makers' data sheets and manuals",
    fires=example(
        "section",
        (
            "boards/heron-2.toml",
            _NET,
            _NET.replace("PC8", "PA15") + "\npulldown = { ohm = 100000, to_v = 0.0 }",
        ),
        _PIN,
    ),
    quiet=example(
        "section",
        (
            "boards/heron-2.toml",
            _NET,
            _NET.replace("PC8", "PA15") + "\npulldown = { ohm = 4700, to_v = 0.0 }",
        ),
        _PIN,
    ),
    thresholds=(_SURELY_OFF_V,),
)
def heater_on_at_start(case: Case) -> Outcomes:
    """Work out the voltage that the chip's pull-up leaves at the switch of each heater.

    Most boards have a pull-down there that their description leaves out: without one, no word.
    """
    for pairing in pairings(case):
        wired, place = pairing.wired, pairing.place
        if pairing.kind != "agrees" or wired is None or roles.function(wired.role) != "heater":
            continue
        chip, pin = case.chip_on(place.board), case.chip_pin(place)
        if chip is None or pin is None or chip.logic_v is None or wired.path.inverting:
            continue
        if pin.reset_pullup_ohm is None or not wired.path.pulldowns:
            continue
        source = chip.reset_pullup_basis.source
        own = Input("strongest pull-up of the chip", pin.reset_pullup_ohm, "ohm", source)
        supply = Input("logic voltage", chip.logic_v, "V", chip.name)
        number = _at_switch(wired, chip.logic_v, pin.reset_pullup_ohm, (supply, own))
        if number.value <= _SURELY_OFF_V:
            yield Agreement(wired.role, "pin")
            continue
        yield Finding(
            spots=((wired.role, "pin"),),
            message=(
                f"The chip pulls {case.at(place)} up to {number.value:.1f} V until the firmware "
                f"runs: the {roles.name(wired.role)} may be on while the chip starts or is "
                f"flashed, and nothing watches it."
            ),
            claims=(pairing.claim,),
            facts=(fact(wired, "pin", case.at(place)),),
            numbers=(number,),
            advice="Measure the pin during start-up; fit a stronger pull-down at the switch.",
        )


def _at_switch(wired: Wired, logic_v: float, up_ohm: float, given: tuple[Input, ...]) -> Number:
    pulls = tuple(pull.ohm for pull in wired.path.pulldowns)
    volt = logic_v / (1 + up_ohm / parallel_ohm(*pulls))
    fitted = (Input("pull-down fitted", ohm, "ohm", f"wiring of {wired.role}") for ohm in pulls)
    formula = "U x R down / (R down + R up)"
    return Number("voltage at the switch", volt, "V", formula, (*given, *fitted), "voltage divider")
