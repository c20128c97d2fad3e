"""The way back: changes, free of style, to steps in the user's own spelling."""

import re
from collections.abc import Iterator, Mapping, Sequence

from attrs import evolve

from pincheck.claims.convert import NUMBERS, PINS, index, read
from pincheck.claims.entry import Entry, Vocabulary
from pincheck.claims.interpretation import Interpretation, Match
from pincheck.claims.load import vocabulary as built_in
from pincheck.claims.numbers import spell_flag, spell_number, spell_word
from pincheck.claims.pins import Written, pieces, with_prefix
from pincheck.claims.placement import Placement, placements
from pincheck.claims.sensor_words import letter_steps, sensor_words
from pincheck.claims.shown import FALSE, SEEN
from pincheck.claims.step import Add, CannotSpellError, Disable, Enable, Replace, Step
from pincheck.claims.watched_words import watched_words
from pincheck.model.claim import Claim, PinValue, SensorValue, Value
from pincheck.model.finding import Change
from pincheck.model.reading import Reading
from pincheck.model.setting import Setting
from pincheck.model.wiring import Assembly
from pincheck.sensors import same_part

__all__ = ["Add", "CannotSpellError", "Disable", "Enable", "Replace", "Step", "steps"]

_SELF = re.compile(r"(?P<key>\w+)==(?P<value>\S+)")
_CLOSE = 1e-6
_HALF_A_BYTE = 0.5 / 255 + _CLOSE


def steps(
    changes: Sequence[Change],
    reading: Reading,
    assembly: Assembly | None,
    vocabulary: Vocabulary | None = None,
) -> tuple[Step, ...]:
    """Return the steps in the user's own files that make all changes come true.

    Changes of one setting become one step. Every new text has been read again and gives the
    value that was asked for. With an empty reading, steps are what a new file needs.

    Raises:
        CannotSpellError: the style has no way to say one of the changes.
    """
    machine = Interpretation(reading, assembly, vocabulary or built_in(reading.style))
    by_setting: dict[int, list[Change]] = {}
    for change in changes:
        setting = _setting(change.claim)
        by_setting.setdefault(id(setting or change), []).append(change)
    found = (step for group in by_setting.values() for step in _of_group(machine, group))
    return tuple(dict.fromkeys(found))


def _setting(claim: Claim | None) -> Setting | None:
    setting = claim.setting if claim else None
    return setting if setting and setting.activity in SEEN else None


def _of_group(machine: Interpretation, group: Sequence[Change]) -> Iterator[Step]:
    setting = _setting(group[0].claim)
    if setting is None:
        for change in group:
            yield from _anywhere(machine, change)
        return
    text = setting.value
    spelt = False
    for change in group:
        match = _match(machine, setting, change)
        if match is None or match.entry.read_as == "constant" or _is_homing(machine, change):
            yield from _instead(machine, setting, match, change)
            continue
        if isinstance(change.value, SensorValue) and _in_letters(match.entry):
            yield from letter_steps(machine, match.setting.section, change.value, match.entry)
            continue
        if machine.reading.style == "define" and not text and change.value is not True:
            _checked(machine, match.entry, match.groups, setting.section, change, "false")
            yield Disable(setting)
            continue
        text = _text(machine, match.entry, match.groups, setting.section, change, text)
        spelt = True
    if spelt:
        yield Replace(setting, text)


def _is_homing(machine: Interpretation, change: Change) -> bool:
    """Return whether the probe shall stand in for an end stop and a key of its own says so."""
    virtual = isinstance(change.value, PinValue) and change.value.virtual
    return virtual and machine.reading.style != "section"


def _in_letters(entry: Entry) -> bool:
    return entry.read_as == "described" or "thermistor" in entry.words


def _match(machine: Interpretation, setting: Setting, change: Change) -> Match | None:
    """Return the entry through which a setting makes the claim that is to change."""
    for match in machine.matches_of(setting):
        entry = match.entry
        prefixed = entry.read_as in PINS and change.attribute in ("inverted", "pull")
        if entry.attribute != change.attribute and not prefixed:
            continue
        for role, groups in machine.roles(entry, match.groups, setting.value):
            if role == change.role:
                return evolve(match, groups=groups)
    return None


def _instead(
    machine: Interpretation, setting: Setting, match: Match | None, change: Change
) -> Iterator[Step]:
    """Yield what replaces a claim that no text of its own setting can change."""
    constant = match is not None and match.entry.read_as == "constant"
    if constant and machine.reading.style == "define":
        yield Disable(setting)
        if _is_stock(machine, change):
            return
    yield from _anywhere(machine, change, but=setting)


def _is_stock(machine: Interpretation, change: Change) -> bool:
    """Return whether the board's own header already says what the change wants."""
    if machine.assembly is None or not isinstance(change.value, PinValue):
        return False
    board = machine.assembly.boards[machine.assembly.main]
    keys = [p.key for p in placements(machine, change.role, change.attribute)]
    pins = (machine.pins.read(board.stock_pins[key]) for key in keys if key in board.stock_pins)
    return any(pin.place == change.value.place for pin in pins)


def _anywhere(
    machine: Interpretation, change: Change, but: Setting | None = None
) -> Iterator[Step]:
    """Yield the steps for a claim that has no setting to change: the first place that fits."""
    reason = f"the {machine.reading.style} style has no key for it"
    for place in placements(machine, change.role, change.attribute):
        if but is not None and place.active is but and place.entry.read_as == "constant":
            continue
        try:
            yield from _at(machine, place, change)
            return
        except CannotSpellError as error:
            reason = str(error)
    raise CannotSpellError(f"{change.role} {change.attribute}: {reason}")


def _at(machine: Interpretation, place: Placement, change: Change) -> list[Step]:
    entry, style = place.entry, machine.reading.style
    if isinstance(change.value, SensorValue) and _in_letters(entry):
        return list(letter_steps(machine, place.section, change.value, entry, place.after))
    if entry.read_as == "constant":
        text = _constant_text(machine, place, change)
    else:
        old = place.active or place.commented
        kept = old.value if old else ""
        presence = style == "define" and (entry.default == "false" or "" in entry.words)
        if presence and (change.value is True or entry.words.get("") == change.value):
            text = "" if kept.lower() in FALSE else kept
        else:
            text = _text(machine, entry, place.groups, place.section, change, kept)
    if place.active:
        if place.active.value == text:
            raise CannotSpellError(f"{place.key} says so already")
        return [Replace(place.active, text)]
    if place.commented:
        return [Enable(place.commented, text)]
    quoted = style == "gcode" and not re.fullmatch(r"[-+\d.:e]*", text)
    return [Add(place.section, place.key, f'"{text}"' if quoted else text, place.after)]


def _constant_text(machine: Interpretation, place: Placement, change: Change) -> str:
    """Return the value that makes a constant claim hold: a bare name, or what it needs itself."""
    entry = place.entry
    wanted = entry.constant
    says = (
        wanted == "virtual"
        if isinstance(change.value, PinValue)
        else str(change.value).lower() == wanted.lower()
    )
    if not says or (isinstance(change.value, PinValue) and not change.value.virtual):
        raise CannotSpellError(f"{place.key} cannot say it")
    own = (_SELF.fullmatch(need) for need in entry.needs)
    text = next((need["value"] for need in own if need and need["key"] == entry.key), "")
    if machine.reading.style != "define" and not text:
        raise CannotSpellError(f"{place.key} cannot say it")
    return text


# One text


def _text(
    machine: Interpretation,
    entry: Entry,
    groups: Mapping[str, str],
    section: str,
    change: Change,
    old: str,
) -> str:
    try:
        new = _spelt(machine, entry, groups, change, old)
    except ValueError as error:
        raise CannotSpellError(str(error)) from None
    _checked(machine, entry, groups, section, change, new)
    return new


def _spelt(
    machine: Interpretation, entry: Entry, groups: Mapping[str, str], change: Change, old: str
) -> str:
    value = change.value
    if entry.read_as in PINS:
        return _pin_text(machine, entry, change, old)
    if entry.read_as in NUMBERS and isinstance(value, int | float):
        return spell_number(float(value), old, entry, index(groups, old))
    if entry.read_as == "flag" and isinstance(value, bool):
        return spell_flag(value, old or ("False" if entry.section else "false"), entry)
    if entry.read_as == "word" and isinstance(value, bool | str):
        return spell_word(value, entry.words)
    if entry.read_as == "sensor" and isinstance(value, SensorValue):
        return sensor_words(machine, change.role, value)
    if entry.read_as == "watched" and isinstance(value, str):
        return watched_words(machine, value)
    raise ValueError(f"{entry.key} cannot say {value!r}")


def _pin_text(machine: Interpretation, entry: Entry, change: Change, old: str) -> str:
    style = machine.reading.style
    claim = change.claim
    written = claim.value.written if claim and isinstance(claim.value, PinValue) else None
    listed = pieces(style, old)
    # a change of prefix has no pin of its own; a text spelt a moment ago no longer names the old
    piece = next((p for p in listed if p.text == written), listed[0])
    match change.value:
        case PinValue() as value if value.virtual:
            new = f"probe:{change.role[0]}_virtual_endstop"
            if style != "section":
                raise ValueError(f"{entry.key} cannot say that the probe homes")
        case PinValue() as value:
            new = machine.pins.spell(value, piece.text, _usual_manner(machine))
        case bool() as inverted:
            new = with_prefix(style, piece.text, inverted, Written.of(style, piece.text).pull)
        case "up" | "down" | "none" as pull:
            new = with_prefix(style, piece.text, Written.of(style, piece.text).inverted, pull)
        case _:
            raise ValueError(f"{entry.key} cannot say {change.value!r}")
    return old[: piece.start] + new + old[piece.end :]


def _usual_manner(machine: Interpretation) -> str:
    """Return a pin as this user writes pins, for a place where no pin stands yet."""
    for match in machine.matches:
        if match.entry.read_as in PINS:
            for piece in pieces(machine.reading.style, match.setting.value):
                if machine.pins.read(piece.text).place:
                    return Written.of(machine.reading.style, piece.text).name.strip()
    return ""


def _checked(
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
    raise CannotSpellError(f"{entry.key} = {text!r} would not say {change.value!r}")


def _same(claim: Claim, wanted: Value, entry: Entry) -> bool:
    value = claim.value
    if claim.unknown or isinstance(value, bool) != isinstance(wanted, bool):
        return False
    if isinstance(value, PinValue) and isinstance(wanted, PinValue):
        states = (value.place, value.absent, value.virtual)
        return states == (wanted.place, wanted.absent, wanted.virtual)
    if isinstance(value, SensorValue) and isinstance(wanted, SensorValue):
        return bool(value.sensor) and same_part(value.sensor, wanted.sensor)
    if isinstance(value, int | float) and isinstance(wanted, int | float):
        slack = _HALF_A_BYTE if entry.read_as in ("byte", "duty") else _CLOSE * max(1, abs(wanted))
        return abs(value - wanted) <= slack
    return value == wanted
