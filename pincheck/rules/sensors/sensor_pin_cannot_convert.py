"""A sensor on a pin without a converter."""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import pairings
from pincheck.analysis.sensor_chain import assumed_sensor
from pincheck.model.claim import Claim
from pincheck.model.finding import Finding, Outcome, Severity, Unchecked
from pincheck.rules.rule import example, rule

_DIGITAL = ("digital", "none")


@rule(
    id="sensor-pin-cannot-convert",
    severity=Severity.FAULT,
    title="The sensor's pin has no analog converter",
    reason=(
        "A thermistor, a platinum sensor on a pull-up or an analog amplifier gives a voltage. Only "
        "pins with a converter input can measure one; on any other the firmware refuses to start "
        "or reads a constant."
    ),
    source="pin functions in the chip makers' device data",
    failing=example(
        "section",
        ("boards/heron-2.toml", '[nets.TH0]\nchip_pin = "PC5"', '[nets.TH0]\nchip_pin = "PB15"'),
        ("clean/section/toolhead.cfg", "sensor_pin: PC5", "sensor_pin: PB15"),
    ),
    passing=example(
        "section",
        ("boards/heron-2.toml", '[nets.TH0]\nchip_pin = "PC5"', '[nets.TH0]\nchip_pin = "PA0"'),
        ("clean/section/toolhead.cfg", "sensor_pin: PC5", "sensor_pin: PA0"),
    ),
)
def sensor_pin_cannot_convert(case: Case) -> Iterator[Outcome]:
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
                rule="sensor-pin-cannot-convert",
                severity=Severity.FAULT,
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
