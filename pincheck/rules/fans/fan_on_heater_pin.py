"""The firmware drives a fan on the pin that switches a heater.

A fan is switched on without a look at any temperature. When its pin is the heater's, every fan
command heats: no target, no limit and no protection stands between the command and the element,
which goes on to whatever temperature it settles at.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, part_of
from pincheck.analysis.heated_block import heated_by
from pincheck.analysis.pairings import pairings
from pincheck.model.finding import Finding, Input, Number, Severity
from pincheck.model.path import Wired
from pincheck.physics.thermal import settle_c
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", ("toolhead.cfg", "pin: PB8", "pin: PC8")),
    quiet=example(
        "section",
        ("boards/heron-2.toml", '[nets.HEAT0]\nchip_pin = "PC8"', '[nets.HEAT0]\nchip_pin = "PB8"'),
        ("boards/heron-2.toml", '[nets.FAN2]\nchip_pin = "PB8"', '[nets.FAN2]\nchip_pin = "PC8"'),
        ("toolhead.cfg", "heater_pin: PC8", "heater_pin: PB8"),
        ("toolhead.cfg", "[fan]\npin: PB8", "[fan]\npin: PC8"),
    ),
)
def fan_on_heater_pin(case: Case) -> Outcomes:
    """Take the pairings whose claimed pin reaches a heater."""
    for pairing in pairings(case):
        if pairing.kind != "fan-on-heater":
            continue
        role = pairing.role
        hot = [w for w in pairing.reached if roles.function(w.role) == "heater"]
        heaters = roles.listed([f"the {roles.name(w.role)}" for w in hot])
        power = sum(w.part.power_w or 0.0 for w in hot)
        watts = f" ({power:.0f} W)" if power else ""
        missing = f", and the {roles.name(role)} {roles.left_alone(role)}" if pairing.wired else ""
        yield Finding(
            spots=pairing.spots(case),
            message=(
                f"Firmware drives the {roles.name(role)} on {case.at(pairing.place)}, which "
                f"switches {heaters}{watts}: each {roles.name(role)} command heats with no limit "
                f"and no protection{missing}."
            ),
            claims=(pairing.claim,),
            facts=pairing.facts(case),
            numbers=tuple(_settles(case, wired) for wired in hot if wired.part.power_w),
            changes=pairing.change(),
        )


def _settles(case: Case, wired: Wired) -> Number:
    heated = heated_by(case, wired.role)
    least = heated.heavy if heated.assumed else heated.block
    watts, ambient = wired.part.power_w or 0.0, case.assembly.ambient_c
    return Number(
        f"where the {roles.name(wired.role)} settles{' at least' if heated.assumed else ''}",
        settle_c(watts, ambient, least),
        "C",
        "Ta + P / G",
        (
            Input("ambient", ambient, "C", "assembly"),
            Input("power", watts, "W", part_of(wired)),
            Input("heat loss", least.loss_w_k, "W/K", heated.origin),
        ),
        "lumped thermal model",
    )
