"""The new text of one value, in the manner of the old one, and read again before it counts."""

from collections.abc import Mapping

from pincheck.claims.convert import NUMBERS, index, read
from pincheck.claims.entry import PINS, Entry
from pincheck.claims.interpretation import Interpretation
from pincheck.model.claim import Claim, PinValue, SensorValue, Value
from pincheck.model.finding import Change
from pincheck.model.role import split
from pincheck.respell.numbers import spell_flag, spell_number, spell_word
from pincheck.respell.pins import spell
from pincheck.respell.sensor_words import sensor_words
from pincheck.sensors import same_part
from pincheck.styles import Style
from pincheck.styles.step import CannotSpellError

_CLOSE = 1e-6
_HALF_A_BYTE = 0.5 / 255 + _CLOSE


def new_text(
    machine: Interpretation,
    entry: Entry,
    groups: Mapping[str, str],
    section: str,
    change: Change,
    old: str,
) -> str:
    """Return `old` changed so that it claims what `change` wants.

    Raises:
        CannotSpellError: the key has no text that says it.
    """
    try:
        new = _spelt(machine, entry, groups, change, old)
    except ValueError as error:
        raise CannotSpellError(str(error)) from None
    checked(machine, entry, groups, section, change, new)
    return new


def _spelt(
    machine: Interpretation, entry: Entry, groups: Mapping[str, str], change: Change, old: str
) -> str:
    value = change.value
    assert value is not None
    if entry.read_as in PINS:
        return _pin_text(machine, entry, change, old)
    if entry.read_as in NUMBERS and isinstance(value, int | float):
        return spell_number(float(value), old, entry, index(entry, groups, old))
    if entry.read_as == "flag" and isinstance(value, bool):
        return spell_flag(value, old or ("False" if entry.section else "false"), entry)
    if entry.read_as == "word" and isinstance(value, bool | str):
        return spell_word(value, entry.words)
    if entry.read_as == "sensor" and isinstance(value, SensorValue):
        return sensor_words(machine, change.role, value)
    if entry.read_as in ("watched", "regulating") and isinstance(value, str):
        return _watched(machine, value)
    if entry.read_as == "of tool" and isinstance(value, str):
        group, number, function = split(value)
        if found := machine.groups.ids(function, (group, number)):
            return found[0]
    raise ValueError(f"{entry.key} cannot say {value!r}")


def _pin_text(machine: Interpretation, entry: Entry, change: Change, old: str) -> str:
    style = machine.style
    claim = change.claim
    written = claim.value.written if claim and isinstance(claim.value, PinValue) else None
    listed = style.pieces(old)
    if len(listed) < entry.nth:
        # What is before it stays as it is, or is no pin where nothing is there yet.
        old = f"{old or style.absent}{style.joint}"
        listed = style.pieces(old)
    # a change of prefix has no pin of its own; a text spelt a moment ago no longer names the old
    piece = next((p for p in listed if p.text == written), listed[entry.nth - 1])
    match change.value:
        case PinValue() as value if value.virtual:
            if not style.virtual:
                raise ValueError(f"{entry.key} cannot say that the probe homes")
            new = style.virtual.format(axis=change.role[0])
        case PinValue() as value:
            analog = entry.read_as == "analog pin"
            new = spell(machine.pins, value, piece.text, machine.usual_pin, analog=analog)
        case value:
            turned = entry.invert and change.attribute == "inverted"
            new = prefixed(style, piece.text, not value if turned else value)
    return old[: piece.start] + new + old[piece.end :]


def _watched(machine: Interpretation, watched: str) -> str:
    """Return the text that means a heater, or its sensor, where the files set such a thing up."""
    group, number, function = split(watched)
    name = machine.style.heater_name((group, number), machine.groups)
    if not name:
        raise ValueError(f"no {function} is set up as {watched}")
    return name


def checked(
    machine: Interpretation,
    entry: Entry,
    groups: Mapping[str, str],
    section: str,
    change: Change,
    text: str,
) -> None:
    """Read a new text again: it must claim what was asked for, and nothing unknown."""
    for claim in read(machine, entry, change.role, groups, text, section):
        if claim.attribute == change.attribute and _same(claim, change.value, entry):
            return
    wanted = getattr(change.value, "written", change.value)
    raise CannotSpellError(f"{entry.key} = {text!r} would not say {wanted!r}")


def _same(claim: Claim, wanted: Value | None, entry: Entry) -> bool:
    value = claim.value
    if claim.unknown or isinstance(value, bool) != isinstance(wanted, bool):
        return False
    if isinstance(value, PinValue) and isinstance(wanted, PinValue):
        states = (value.place, value.absent, value.virtual)
        return states == (wanted.place, wanted.absent, wanted.virtual)
    if isinstance(value, SensorValue) and isinstance(wanted, SensorValue):
        return bool(value.sensor) and same_part(value.sensor, wanted.sensor)
    if isinstance(value, int | float) and isinstance(wanted, int | float):
        slack = _CLOSE * max(1, abs(wanted))
        if entry.read_as in ("byte", "duty"):
            slack = _HALF_A_BYTE
        elif entry.scale != 1 and not entry.per:
            slack = entry.scale * 0.5
        return abs(value - wanted) <= slack
    return value == wanted


def prefixed(style: Style, text: str, value: Value | None) -> str:
    """Return one pin's text with the prefix that a flag (inverted) or a pull asks for.

    Raises:
        CannotSpellError: the style has no such prefix.
    """
    written = style.parted(text)
    try:
        match value:
            case bool() as inverted:
                return style.prefixed(text, inverted, written.pull)
            case "up" | "down" | "none" as pull:
                return style.prefixed(text, written.inverted, pull)
    except ValueError as error:
        raise CannotSpellError(str(error)) from None
    raise CannotSpellError(f"no prefix of a pin says {value!r}")
