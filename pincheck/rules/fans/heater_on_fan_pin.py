"""The firmware drives a heater on the pin that switches a fan.

The heater stays cold, so the firmware asks for full power and keeps the fan at full speed until
its watch stops the machine. If the plugs are moved to suit, the heater's current goes through a
switch and tracks that were made for a fan, and may burn them.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import pairings
from pincheck.model.finding import Finding, Severity
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "heater_pin: PC8", "heater_pin: PB6")),
    quiet=example(
        "section",
        ("boards/heron-2.toml", '[nets.HEAT0]\nchip_pin = "PC8"', '[nets.HEAT0]\nchip_pin = "PB6"'),
        ("boards/heron-2.toml", '[nets.FAN0]\nchip_pin = "PB6"', '[nets.FAN0]\nchip_pin = "PC8"'),
        ("toolhead.cfg", "heater_pin: PC8", "heater_pin: PB6"),
        ("toolhead.cfg", "hotend_fan]\npin: PB6", "hotend_fan]\npin: PC8"),
    ),
)
def heater_on_fan_pin(case: Case) -> Outcomes:
    """Take the pairings of heaters whose claimed pin reaches a fan."""
    for pairing in pairings(case):
        if pairing.kind != "heater-on-fan":
            continue
        role = pairing.role
        fans = roles.listed([f"the {roles.name(wired.role)}" for wired in pairing.reached])
        switch = next((w.path.switch for w in pairing.reached if w.path.switch), None)
        rating = f" a switch rated {switch.max_a:.1f} A" if switch and switch.max_a else " a switch"
        yield Finding(
            spots=pairing.spots(case),
            message=(
                f"Firmware drives the {roles.name(role)} on {case.at(pairing.place)}, behind"
                f"{rating} that feeds {fans}: the {roles.name(role)} stays cold and the fan runs "
                f"at full speed; do not move the heater's plug there."
            ),
            claims=(pairing.claim,),
            facts=pairing.facts(case),
            changes=pairing.change(),
        )
