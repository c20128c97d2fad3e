"""Faults that the trace of the copper alone shows, a row a rule."""

import re
from functools import partial

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.hotend_fans import standing_still
from pincheck.model.finding import Fact, Finding, Moment, Severity, Unchecked
from pincheck.rules.rule import Outcomes, Rule, example, register

_BEHIND = ("no-supply", "return-driven", "coils-crossed")
"""What a plug that is mated wrong makes of the wires behind it."""


def findings(
    case: Case,
    *,
    kind: str,
    attribute: str,
    effect: str,
    advice: str,
    unless: tuple[str, ...] = (),
    dead: bool = False,
) -> Outcomes:
    """Yield the faults of one kind: what is wrong, then `effect` as a sentence of its own.

    A fault of nets with no part near is told of the first role there is. `unless` are kinds that
    explain this one where they name its role. Behind a plug that is mated wrong no supply is
    missed and no wire is astray: the plug is told of already. `dead` ones do not work, no more.
    """
    faults = case.trace.faults
    explained = {role for fault in faults if fault.kind in unless for role in fault.roles}
    first = tuple(wired.role for wired in case.trace.wired[:1])
    for fault in faults:
        named = fault.roles or first
        if fault.kind != kind or not named or explained.intersection(named):
            continue
        if kind in _BEHIND and case.shorted.issuperset(named):
            continue
        text = _plain(fault.message.rstrip("."), named)
        told = Finding(
            spots=tuple((role, attribute) for role in named),
            message=f"{text[0].upper()}{text[1:]}. {effect}".strip(),
            facts=(Fact(named[0], attribute, text, fault.path, fault.at),),
            advice=advice,
        )
        yield evolve(told, severity=standing_still(case, *named)) if dead else told


def _coils(case: Case) -> Outcomes:
    """Yield crossed coils, and each motor on a driver whose board does not tell its coils."""
    yield from findings(
        case,
        kind="coils-crossed",
        attribute="current_a",
        effect="It hums and does not turn.",
        advice="Measure which two wires belong to one coil, and put them side by side.",
    )
    for wired in case.fitted("motor"):
        if wired.path.driver and len(wired.part.terminals) == 4 and not wired.path.driver.coils:
            name = wired.path.driver.name
            reason = f"nothing says which nets of driver {name} are one coil: list them as coils"
            yield Unchecked(wired.role, "pin", reason)


def _plain(text: str, named: tuple[str, ...]) -> str:
    """Return the text with each of the roles in the words of the trade, in one pass: a fault may
    name hundreds."""
    known = frozenset(named)

    def word(found: re.Match[str]) -> str:
        return f"the {roles.name(found[0])}" if found[0] in known else found[0]

    return re.sub(r"[\w.]*\w", word, text)


_MOTOR = 'at = "tool.extruder"\npart = "motor-1a0"'
COILS = (
    "boards/heron-2.toml",
    "[drivers.E0]",
    '[drivers.E0]\ncoils = ["E0_1A", "E0_1B", "E0_2A", "E0_2B"]',
)
"""The demo's board says which nets of a driver belong to one coil."""
CROSSED = ("marsh-230-c.toml", _MOTOR, _MOTOR + "\npins = [1, 3, 2, 4]")
TURNED = ("marsh-230-c.toml", _MOTOR, _MOTOR + "\npins = [2, 1, 3, 4]")

_row = partial(Rule, family="copper", source="common practice")

for _rule in (
    _row(
        id="part-reversed",
        severity=Severity.DANGER,
        when=Moment.SWITCH_ON,
        title="A part sits the wrong way round on its socket",
        reason=(
            "Supply and ground, or supply and switched side, are exchanged at the plug. A fan "
            "stays off or is destroyed, so is many a probe, and its signal line may take the "
            "chip along. Heaters do not mind and are not named here."
        ),
        fires=example(
            "section",
            (
                "boards/lapwing-c.toml",
                'pins = ["24V", "FAN_HOTEND"]',
                'pins = ["FAN_HOTEND", "24V"]',
            ),
        ),
        quiet=example(
            "section", ("boards/lapwing-c.toml", 'pins = ["24V", "HEAT"]', 'pins = ["HEAT", "24V"]')
        ),
        check=partial(
            findings,
            kind="reversed",
            attribute="supply_v",
            effect="It does not work, and most parts are destroyed at power-on.",
            advice="Leave the power off and exchange the two wires in the plug.",
        ),
    ),
    _row(
        id="pin-reached-by-two",
        severity=Severity.FAULT,
        title="One chip pin reaches two parts",
        reason=(
            "Two parts on one pin cannot be told apart: the firmware drives both or reads a mix of "
            "both. Fans of one kind on one switch are meant so and are not named here."
        ),
        fires=example(
            "section",
            (
                "boards/heron-2.toml",
                '[nets.FIL0]\nchip_pin = "PC3"',
                '[nets.FIL0]\ndriven_by = "YSTOP"',
            ),
            ("machine.cfg", "switch_pin: ^!PC3", "switch_pin: ^!PC1"),
        ),
        quiet=example(
            "section",
            (
                "marsh-230-c.toml",
                'at = "tool.part_fan_b"\npart = "fan-24v-0a3"',
                'at = "tool.part_fan_b"\npart = "fan-24v-0a1"',
            ),
        ),
        check=partial(
            findings,
            kind="shared-pin",
            attribute="pin",
            effect="The firmware cannot work one without the other.",
            advice="Give each part a pin of its own.",
            unless=("supplies-joined", "supply-on-signal"),
        ),
    ),
    _row(
        id="supplies-joined",
        severity=Severity.DANGER,
        when=Moment.SWITCH_ON,
        title="A net joins two supplies",
        reason=(
            "Two supplies of different voltage on one net drive current into each other, or into "
            "ground. The weaker one, and every chip that hangs on it, can be destroyed at "
            "power-on; a ribbon plugged in mirrored does just that."
        ),
        fires=example(
            "section",
            (
                "boards/lapwing-c.toml",
                '"24V", "24V",                #  5  6',
                '"24V", "5V",                 #  5  6',
            ),
        ),
        quiet=example(
            "section",
            (
                "boards/lapwing-c.toml",
                '"GND", "GND",                # 11 12',
                '"GND", "",                   # 11 12',
            ),
        ),
        check=partial(
            findings,
            kind="supplies-joined",
            attribute="supply_v",
            effect="",
            advice="Leave the power off and compare the pins of both ends of the cable.",
        ),
    ),
    _row(
        id="supply-missing",
        severity=Severity.DANGER,
        title="A part gets no supply",
        reason=(
            "The terminal that wants the supply or the ground ends on a net that no rail feeds, so "
            "the part is dead whatever the firmware does."
        ),
        fires=example(
            "section", ("boards/lapwing-c.toml", '"GND", "5V", "SERVO"', '"GND", "", "SERVO"')
        ),
        quiet=example(
            "section",
            (
                "boards/lapwing-c.toml",
                '"GND", "5V", "SERVO", "GND", "PROBE"',
                '"GND", "5V", "SERVO", "AGND", "PROBE"',
            ),
        ),
        check=partial(
            findings,
            kind="no-supply",
            attribute="supply_v",
            effect="It stays dead whatever the firmware does.",
            advice="Take the terminal to a rail of its voltage.",
            dead=True,
        ),
    ),
    _row(
        id="supply-on-signal",
        severity=Severity.DANGER,
        when=Moment.SWITCH_ON,
        title="A supply is on a signal line",
        reason=(
            "A rail that ends on a signal terminal, a switch or a chip pin puts its whole voltage "
            "on a line that was not made for it. A pin that does not stand it is destroyed at "
            "power-on, often with the whole chip, or the load is on for good."
        ),
        fires=example(
            "section",
            (
                "marsh-230-c.toml",
                'at = "main.stop_x"\npart = "endstop-switch-nc"',
                'at = "main.stop_x"\npart = "endstop-optical-5v"',
            ),
            (
                "boards/heron-2.toml",
                'pins = ["XSTOP", "GND", "5V"]',
                'pins = ["5V", "GND", "XSTOP"]',
            ),
        ),
        quiet=example(
            "section",
            (
                "marsh-230-c.toml",
                'at = "main.stop_x"\npart = "endstop-switch-nc"',
                'at = "main.stop_x"\npart = "endstop-optical-5v"',
            ),
        ),
        check=partial(
            findings,
            kind="supply-on-signal",
            attribute="supply_v",
            effect="What drives that line is shorted, and may be destroyed.",
            advice="Leave the power off and compare the pins of plug and socket.",
        ),
    ),
    _row(
        id="return-driven",
        severity=Severity.DANGER,
        when=Moment.SWITCH_ON,
        title="A sensor's second wire is on a line that something drives",
        reason=(
            "A thermistor or a bare switch only reads right against ground. On the line of a fan's "
            "switch it reads that fan: open while the fan is off, and its supply is led through "
            "the sensor to the chip's pin."
        ),
        fires=example(
            "section",
            ("boards/lapwing-c.toml", 'pins = ["TH", "AGND"]', 'pins = ["TH", "FAN_HOTEND"]'),
        ),
        quiet=example(
            "section", ("boards/lapwing-c.toml", 'pins = ["TH", "AGND"]', 'pins = ["AGND", "TH"]')
        ),
        check=partial(
            findings,
            kind="return-driven",
            attribute="pin",
            effect="What is read follows that line, and its voltage can reach the chip's pin.",
            advice="Leave the power off and take the second wire to the board's ground.",
        ),
    ),
    _row(
        id="coils-crossed",
        severity=Severity.FAULT,
        title="The coils of a motor are crossed",
        reason=(
            "Each output of a driver works on both ends of one coil. With one end of each coil "
            "exchanged the current has no way that turns the motor: it hums, and some drivers stop."
        ),
        fires=example("section", COILS, CROSSED),
        quiet=example("section", COILS, TURNED),
        check=_coils,
    ),
):
    register(_rule)
