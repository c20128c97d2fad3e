"""The way back: changes, free of style, to steps in the user's own spelling."""

import re
from collections.abc import Container, Iterator, Sequence

from attrs import evolve

from pincheck.claims.built_in import vocabulary as built_in
from pincheck.claims.convert import claims_of
from pincheck.claims.entry import PINS, Entry, Vocabulary
from pincheck.claims.interpretation import Interpretation, Match
from pincheck.claims.numbered import by_number
from pincheck.claims.shown import FALSE, SEEN, all_hold
from pincheck.model.claim import Claim, PinValue, SensorValue
from pincheck.model.finding import Change
from pincheck.model.reading import Reading
from pincheck.model.setting import Activity, Setting
from pincheck.model.wiring import Assembly
from pincheck.respell.places import KeyPlace, placements
from pincheck.respell.sensor_words import figure_steps, letter_steps
from pincheck.respell.text import checked, new_text, prefixed
from pincheck.styles.step import Add, CannotSpellError, Disable, Enable, Replace, Retire, Step

_SELF = re.compile(r"(?P<key>\w+)==(?P<value>\S+)")
_BY_NUMBER = "these scripts name no pins, so no line of theirs can move one"
_OF_A_PIN = ("pin", "inverted", "pull")


def steps(
    changes: Sequence[Change],
    reading: Reading,
    assembly: Assembly | None,
    vocabulary: Vocabulary | None = None,
) -> tuple[Step, ...]:
    """Return the steps in the user's own files that make all changes come true.

    With an empty reading, steps are what a new file needs.

    Raises:
        CannotSpellError: the style has no way to say one of the changes.
    """
    machine = Interpretation(reading, assembly, vocabulary or built_in(reading.style))
    return steps_in(machine, changes)


def steps_in(machine: Interpretation, changes: Sequence[Change]) -> tuple[Step, ...]:
    """Return the steps in files that are interpreted already.

    Changes of one setting become one step. Every new text has been read again and gives the
    value that was asked for.

    Raises:
        CannotSpellError: the style has no way to say one of the changes.
    """
    found: dict[Step, None] = {}
    by_setting: dict[int | str, list[Change]] = {}
    for change in (each for one in changes for each in _with_bounds(machine, one)):
        if change.value is None and change.claim and change.claim.setting:
            found[_retired(machine, change.claim.setting)] = None
            continue
        setting = _setting(change.claim)
        # a pin's prefixes belong to its text even where neither is written yet
        alone = change.role if change.attribute in _OF_A_PIN else id(change)
        by_setting.setdefault(id(setting) if setting else alone, []).append(change)
    for group in by_setting.values():
        made = {step.key if isinstance(step, Add) else step.setting.key for step in found}
        found.update(dict.fromkeys(_of_group(machine, group, made)))
    return tuple(found)


def _with_bounds(machine: Interpretation, change: Change) -> Iterator[Change]:
    """Yield a change of the higher of several bounds, and what the others need so as to hold it."""
    yield change
    told = change.role, change.attribute
    same = [match for match in machine.matches if match.entry.attribute == change.attribute]
    if not any(match.entry.most for match in same) or not isinstance(change.value, float):
        return
    own = change.claim.setting if change.claim else None
    for match in same:
        if own and (match.setting is own or match.setting.value.strip() == own.key):
            continue
        for claim in claims_of(machine, match):
            higher = isinstance(claim.value, float) and claim.value > change.value
            if (claim.role, claim.attribute) == told and higher:
                yield evolve(change, claim=claim)


def _retired(machine: Interpretation, setting: Setting) -> Retire:
    source, line = setting.source, setting.span.line
    if "\n" in setting.value and machine.style.folds_lines:
        raise CannotSpellError(f"{setting.key} goes on over several lines")
    for other in () if machine.style.key_a_line else machine.reading.settings:
        same = other.source is source and other.span.line == line and other.activity in SEEN
        if same and machine.shown.active(other.section, other.key) is other:
            raise CannotSpellError(
                f"{other.section} {other.key} stands in the same line and counts"
            )
    return Retire(setting)


def _setting(claim: Claim | None) -> Setting | None:
    setting = claim.setting if claim else None
    return setting if setting and setting.activity in SEEN else None


def _of_group(
    machine: Interpretation, group: Sequence[Change], made: Container[str]
) -> Iterator[Step]:
    setting = _setting(group[0].claim)
    if setting is None:
        yield from _unwritten(machine, group, made)
        return
    target = setting
    text = setting.value
    spelt = False
    # one text takes all its changes in turn, so that pin, sense and pull become a single edit
    for change in group:
        if isinstance(change.value, SensorValue) and change.value.lines:
            yield from figure_steps(machine, change.value)
            continue
        match = _match(machine, setting, change)
        if match is None or match.entry.read_as == "constant" or _is_homing(machine, change):
            yield from _instead(machine, setting, match, change)
            continue
        if isinstance(change.value, SensorValue) and _in_letters(match.entry):
            yield from letter_steps(
                machine, match.setting.section, change.role, change.value, match.entry
            )
            continue
        if _stands_alone(machine, match, text) and change.value is not True:
            checked(machine, match.entry, match.groups, setting.section, change, "false")
            yield Disable(setting)
            continue
        if not spelt:
            target = machine.style.where_written(setting, machine.reading.sources)
            text = target.value
        text = new_text(machine, match.entry, match.groups, setting.section, change, text)
        spelt = True
    if spelt:
        yield Replace(target, text)


def _unwritten(
    machine: Interpretation, group: Sequence[Change], made: Container[str]
) -> Iterator[Step]:
    """Yield the steps for changes that have no setting; a new pin takes its prefixes along."""
    pin = next((change for change in group if change.attribute == "pin"), None)
    if pin is None or not machine.style.pulls:
        for change in group:
            yield from _anywhere(machine, change, made=made)
        return
    if by_number(machine):
        raise CannotSpellError(_BY_NUMBER)
    *before, step = _anywhere(machine, pin)
    yield from before
    if isinstance(step, Disable | Retire):
        yield step
        return
    text = step.text.strip('"')
    for change in group:
        if change is not pin:
            text = prefixed(machine.style, text, change.value)
    yield evolve(step, text=f'"{text}"' if step.text.startswith('"') else text)


def _stands_alone(machine: Interpretation, match: Match, text: str) -> bool:
    """Return whether a define without a value says yes by being there at all."""
    return machine.style.bare_says_yes and not text and match.entry.read_as not in PINS


def _is_homing(machine: Interpretation, change: Change) -> bool:
    """Return whether the probe shall stand in for an end stop and a key of its own says so."""
    virtual = isinstance(change.value, PinValue) and change.value.virtual
    return virtual and not machine.style.virtual


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
            holds, _ = all_hold(machine.shown, entry.needs, setting.section, groups)
            if holds and role == change.role:
                return evolve(match, groups=groups)
    return None


def _instead(
    machine: Interpretation, setting: Setting, match: Match | None, change: Change
) -> Iterator[Step]:
    """Yield what replaces a claim that no text of its own setting can change."""
    if change.attribute == "pin" and by_number(machine):
        raise CannotSpellError(_BY_NUMBER)
    constant = match is not None and match.entry.read_as == "constant"
    if constant and machine.style.bare_says_yes:
        yield Disable(setting)
        if _is_stock(machine, change, setting):
            return
    yield from _anywhere(machine, change, but=setting)


def _is_stock(machine: Interpretation, change: Change, gone: Setting) -> bool:
    """Return whether without a setting the board's own header says what the change wants."""
    if machine.assembly is None or not isinstance(change.value, PinValue):
        return False
    board = machine.assembly.boards[machine.assembly.main]
    keys = [p.key for p in placements(machine, change.role, change.attribute, gone)]
    pins = (machine.pins.read(board.stock_pins[key]) for key in keys if key in board.stock_pins)
    return any(pin.place == change.value.place for pin in pins)


def _anywhere(
    machine: Interpretation,
    change: Change,
    but: Setting | None = None,
    made: Container[str] = (),
) -> Iterator[Step]:
    """Yield the steps for a claim that has no setting to change: the first place that fits.

    There are none where the keys `made` by changes beside it are all that it takes.
    """
    reason = f"the {machine.reading.style} style has no key for it"
    gone = but if machine.style.bare_says_yes else None
    for place in placements(machine, change.role, change.attribute, gone, made):
        by_itself = place.entry.read_as == "constant" and place.key in made
        if by_itself or (place.awaited and place.active):
            return
        if but is not None and place.active is but and place.entry.read_as == "constant":
            continue
        try:
            yield from _at(machine, _shown(place, change), change)
            return
        except CannotSpellError as error:
            reason = str(error)
    line = change.claim.near if change.claim and change.attribute == "pin" else None
    if line and machine.style.creates(line.section) and line.activity is Activity.COMMENTED:
        yield Enable(line, line.value)
        return
    if line is None or any(match.entry.read_as in PINS for match in machine.matches_of(line)):
        raise CannotSpellError(reason)
    # The pin is right already: this line alone keeps it from being used.
    yield (
        Enable(line, "")
        if line.activity is Activity.COMMENTED
        else Replace(line, machine.style.yes)
    )


def _shown(place: KeyPlace, change: Change) -> KeyPlace:
    """Return a place with the very line that is commented out there, of several."""
    near = change.claim.near if change.claim else None
    own = near and near.activity is Activity.COMMENTED and near.key == place.key
    return evolve(place, commented=near) if own and place.commented else place


def _at(machine: Interpretation, place: KeyPlace, change: Change) -> list[Step]:
    entry, style = place.entry, machine.style
    if isinstance(change.value, SensorValue) and _in_letters(entry):
        return list(
            letter_steps(machine, place.section, change.role, change.value, entry, place.after)
        )
    if entry.read_as == "constant":
        text = _constant_text(machine, place, change)
    else:
        old = place.active or place.commented
        kept = old.value if old else ""
        presence = style.bare_says_yes and (entry.default == "false" or "" in entry.words)
        if presence and (change.value is True or entry.words.get("") == change.value):
            text = "" if kept.lower() in FALSE else kept
        else:
            text = new_text(machine, entry, place.groups, place.section, change, kept)
    if place.active:
        if place.active.value == text:
            raise CannotSpellError(f"{place.key} says so already")
        return [Replace(place.active, text)]
    if place.commented:
        return [Enable(place.commented, text)]
    return [Add(place.section, place.key, style.quoted(text), place.after)]


def _constant_text(machine: Interpretation, place: KeyPlace, change: Change) -> str:
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
    if not (text or machine.style.bare_says_yes):
        raise CannotSpellError(f"{place.key} cannot say it")
    return text
