"""Edits that would not do what they say on the machine: why each is not offered."""

import re
from collections.abc import Iterator, Sequence

from pincheck.analysis.roles import ANALOG, family, function
from pincheck.claims.interpretation import Interpretation
from pincheck.model.claim import PinValue
from pincheck.model.finding import Change, Finding
from pincheck.model.reading import Reading
from pincheck.model.setting import Activity, Setting
from pincheck.styles.step import Add, Enable, Replace, Retire, Step

_CREATES = re.compile(r"(M950 [A-Z]|M308 S)(\d*)", re.IGNORECASE)
_LOWER_PORT = re.compile(r"(?<![A-Za-z_])p[a-k]\d+$")
LAST_CHANNEL = 15
"""Of the converter of an eight-bit chip: such numbers are meant as channels (`common practice`)."""
_END = re.compile(r"([XYZ]_)(MIN|MAX)_PIN")
_CONVERTER = re.compile(r"MAX(?:31855|31856|31865|6675)", re.IGNORECASE)


def withheld(steps: Sequence[Step], finding: Finding, machine: Interpretation) -> Iterator[str]:
    """Yield why steps must be left to a person, whatever a check of their outcome would say."""
    reading, keys = machine.reading, {_key(step) for step in steps}
    changes = finding.changes
    senses = any(family(c.role) in ANALOG and c.attribute == "pin" for c in changes)
    converted = any(fact.path and fact.path.amplifier for fact in finding.facts)
    for step in steps:
        text = getattr(step, "text", "")
        match machine.style.name:
            case "gcode":
                yield from _created(step, reading)
            case "section":
                if any(isinstance(c.value, PinValue) for c in changes) and _LOWER_PORT.search(text):
                    yield "the firmware knows pins in capitals only, and the files have small ones"
            case "define":
                if _key(step) == "PID_MAX" and "BANG_MAX" not in keys:
                    yield "PID_MAX caps the power near the target only, BANG_MAX everywhere else"
                if senses and text.isdecimal() and int(text) > LAST_CHANNEL:
                    yield "a plain number may mean a channel of the converter here, not a pin"
                yield from _other_end(step, changes, machine)
        if senses and text and not converted and _selects(step, reading):
            yield "the line names the chip select of a converter, not a sensor's pin"


def _key(step: Step) -> str:
    return step.key if isinstance(step, Add) else step.setting.key


def _section(step: Step) -> str:
    return step.section if isinstance(step, Add) else step.setting.section


def _active(reading: Reading, section: str) -> list[Setting]:
    return [
        s
        for s in reading.settings
        if s.activity is Activity.ACTIVE and s.section.upper() == section.upper()
    ]


def _created(step: Step, reading: Reading) -> Iterator[str]:
    """Yield what is wrong with a step on a command that sets its object up afresh."""
    found = _CREATES.match(_section(step))
    if not found:
        return
    what = _section(step)
    if isinstance(step, Enable):
        yield f"{what} on a line of its own would set everything up afresh"
    elif isinstance(step, Add) and not step.joins:
        # A fan that no M106 speaks of yet is needed by nothing that stands before.
        if found[1].upper() != "M950 F" or _active(reading, f"M106 P{found[2]}"):
            yield f"{what} has to stand before the commands that need it"
    elif (
        found[1].upper() == "M308 S"
        and not isinstance(step, Retire)
        and len({(s.source.name, s.span.line) for s in _active(reading, what)}) > 1
    ):
        yield f"{what} stands there twice, and the later one forgets what the earlier one set"


def _selects(step: Step, reading: Reading) -> bool:
    if "CS_PIN" in _key(step) or "spi.cs" in getattr(getattr(step, "setting", None), "value", ""):
        return True
    beside = _active(reading, _section(step)) if _section(step) else []
    return any(s.key == "sensor_type" and _CONVERTER.match(s.value) for s in beside)


def _other_end(step: Step, changes: Sequence[Change], machine: Interpretation) -> Iterator[str]:
    """Yield where the wired end stop is that of the other end: then the homing end is wrong."""
    end = _END.fullmatch(_key(step))
    if not end or not isinstance(step, Add | Replace | Enable):
        return
    other = f"{end[1]}{'MAX' if end[2] == 'MIN' else 'MIN'}_PIN"
    board = machine.assembly.boards.get(machine.assembly.main) if machine.assembly else None
    stock = dict(board.stock_pins).get(other, "") if board else ""
    set_ = next(
        (
            s.value
            for s in machine.reading.settings
            if s.activity is Activity.ACTIVE and s.key == other
        ),
        stock,
    )
    places = {c.value.place.pin for c in changes if isinstance(c.value, PinValue) and c.value.place}
    if set_ and any(function(c.role) == "endstop" for c in changes) and {set_, step.text} <= places:
        yield f"that is the end stop of the other end ({other}): home to that end instead"
