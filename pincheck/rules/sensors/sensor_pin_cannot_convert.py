"""The sensor's pin has no analog converter.

A thermistor, a platinum sensor on a pull-up or an analog amplifier gives a voltage. Only pins
with a converter input can measure one; on any other the firmware refuses to start or reads a
constant. Some converters are the radio's while that runs.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import pairings
from pincheck.analysis.sensor_chain import assumed_sensor
from pincheck.model.claim import Claim
from pincheck.model.finding import Finding, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_DIGITAL = ("digital", "none")


@rule(
    Severity.FAULT,
    source="pin functions in the chip makers' device data",
    fires=example(
        "section",
        ("boards/heron-2.toml", '[nets.TH0]\nchip_pin = "PC5"', '[nets.TH0]\nchip_pin = "PC12"'),
        ("toolhead.cfg", "sensor_pin: PC5", "sensor_pin: PC12"),
    ),
    quiet=example(
        "section",
        ("boards/heron-2.toml", '[nets.TH0]\nchip_pin = "PC5"', '[nets.TH0]\nchip_pin = "PA0"'),
        ("toolhead.cfg", "sensor_pin: PC5", "sensor_pin: PA0"),
    ),
)
def sensor_pin_cannot_convert(case: Case) -> Outcomes:
    """Look up the converter of every analog sensor's pin where the pin is right as such."""
    for pairing in pairings(case):
        role = pairing.role
        if roles.family(role) not in roles.ANALOG or pairing.kind != "agrees":
            continue
        table = case.known(role, "table")
        assumed = assumed_sensor(case, table) if isinstance(table, Claim) else None
        if assumed and (assumed.kind in _DIGITAL or assumed.id.startswith("converter-")):
            continue
        chip, pin = case.chip_on(pairing.place.board), case.chip_pin(pairing.place)
        if chip is None or pin is None or "converters" not in chip.knows:
            yield Unchecked(role, "pin", "nobody knows the converter inputs of the chip")
        elif not pin.adc:
            yield Finding(
                spots=((role, "pin"),),
                message=(
                    f"{case.at(pairing.place)} of {chip.name} has no converter input: the "
                    f"{roles.name(role)} cannot be measured there, and the firmware refuses to "
                    f"start or reads a constant."
                ),
                claims=(pairing.claim,),
                facts=pairing.facts(case),
                advice="Wire the sensor to a pin with a converter input.",
            )
        elif "radio" in pin.special:
            yield Finding(
                severity=Severity.ADVICE,
                spots=((role, "pin"),),
                message=(
                    f"{case.at(pairing.place)} of {chip.name} is read by a converter that its "
                    f"radio takes: while that runs the {roles.name(role)} cannot be measured."
                ),
                claims=(pairing.claim,),
                facts=pairing.facts(case),
                advice="Wire the sensor to a pin of the other converter, or keep the radio off.",
            )
