"""One matched setting to its claims."""

from collections.abc import Iterator, Mapping, Sequence

from attrs import evolve

from pincheck.claims.entry import PINS, Entry
from pincheck.claims.interpretation import Interpretation, Match, thing_of
from pincheck.claims.numbers import element, elements, read_flag, read_number, read_word
from pincheck.claims.pattern import filled
from pincheck.claims.sensor_values import described, read_sensor
from pincheck.claims.shown import FALSE, all_hold, text_of
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim, PinValue, Value
from pincheck.model.role import is_role, role
from pincheck.model.setting import Setting
from pincheck.styles.groups import numbers

NUMBERS = frozenset(("number", "last number", "duty", "byte", "doublings"))

_COUNTED = "the firmware counts the pulses, whatever their level"


def claims_of(machine: Interpretation, match: Match) -> Iterator[Claim]:
    """Yield every claim that one setting makes through one entry."""
    entry, setting = match.entry, match.setting
    if not entry.attribute:
        return
    for role_, groups in machine.roles(entry, match.groups, text_of(setting)):
        holds, reason = all_hold(machine.shown, entry.needs, setting.section, groups)
        if holds:
            text, section = text_of(setting), setting.section
            for claim in read(machine, entry, role_, groups, text, section, setting):
                yield evolve(claim, setting=setting, unknown=claim.unknown or reason)


def read(
    machine: Interpretation,
    entry: Entry,
    role_: str,
    groups: Mapping[str, str],
    text: str,
    section: str,
    setting: Setting | None = None,
) -> Iterator[Claim]:
    """Yield the claims that `text` makes as the value of an entry's key in a section.

    None of them has a setting; `setting` says what is known of the text. What cannot be read
    becomes a claim of the text itself that says why it is unknown.
    """
    parts = elements if entry.read_as in NUMBERS else machine.style.pieces
    if entry.nth > 1 and len(parts(text)) < entry.nth:
        return
    if entry.read_as in PINS:
        yield from _pin_claims(machine, entry, role_, text, setting)
        return
    # Of a key that needs no yes, being there says all: a macro's text is never certain.
    there = entry.read_as == "constant" and machine.style.folds_lines
    if setting and setting.resolved is None and setting.unknown and not there:
        if entry.read_as != "constant":
            yield Claim(role_, entry.attribute, text, unknown=setting.unknown)
        return
    if entry.read_as == "of tool":
        yield _of_tool(machine, role_, text, entry.attribute)
        return
    if entry.read_as == "watched":
        yield from _watched(machine, role_, text, entry.attribute)
        return
    try:
        value = _value(machine, entry, role_, groups, text, section)
    except ValueError as error:
        yield Claim(role_, entry.attribute, text, unknown=str(error))
        return
    if value is not None:
        yield Claim(role_, entry.attribute, value)


def _value(
    machine: Interpretation,
    entry: Entry,
    role_: str,
    groups: Mapping[str, str],
    text: str,
    section: str,
) -> Value | None:
    if entry.read_as in NUMBERS:
        return read_number(text, entry, index(entry, groups, text))
    match entry.read_as:
        case "flag":
            return read_flag(text, entry, bare_says_yes=machine.style.bare_says_yes)
        case "word":
            return read_word(text, entry.words)
        case "text":
            return text
        case "element":
            start, end = element(text, index(entry, groups, text))
            return text[start:end]
        case "sensor":
            marks = tuple(entry.words)
            return read_sensor(machine, text, marks, section, role_)
        case "described":
            return described(machine, section, role_)
        case "regulating":
            return _regulating(machine, groups["n"], text)
        case "number of thing":
            thing = thing_of(entry, groups)
            return float(thing[1] if thing else groups["n"])
        case "constant":
            meant = f"{entry.key}=={text}" in entry.needs
            off = text.lower() in FALSE and not meant
            return None if off else constant(machine, entry, groups)
    raise ValueError(f"{entry.read_as!r} is no known reading")


def index(entry: Entry, groups: Mapping[str, str], text: str) -> int:
    """Return which element of a list belongs to a role; in braces there is one for each tool."""
    if entry.read_as == "last number":
        return -1
    if "each" in groups or "i" in groups:
        return int(groups.get("each") or groups["i"])
    return int(groups.get("n") or 0) if text.startswith("{") else 0


def constant(machine: Interpretation, entry: Entry, groups: Mapping[str, str]) -> Value:
    """Return what an entry claims whenever its key is set.

    A pin is the one of another key: `constant` names it (or several, `A or B`), or is `virtual`.
    """
    text = filled(entry.constant, groups)
    kind = ATTRIBUTES[entry.attribute].kind
    if kind == "pin":
        if text == "virtual":
            return PinValue(text, virtual=True)
        return _pin_of(machine, text.split(" or "))
    if kind == "flag":
        return text == "true"
    return float(text) if kind == "number" else text


def _pin_of(machine: Interpretation, names: Sequence[str]) -> PinValue:
    """Return the pin that the first of several keys gives which is set, or stands on the board."""
    found = []
    for name in names:
        other = machine.shown.active("", name)
        pin = machine.pins.read(text_of(other) if other else name)
        found.append(evolve(pin, written=name))
        if other:
            return found[-1]
    return next((pin for pin in found if pin.place), found[0])


def _watched(machine: Interpretation, own: str, text: str, attribute: str) -> Iterator[Claim]:
    """Yield a claim of every heater that a fan watches, the one of its own hot end first."""
    style = machine.style
    found = []
    names = [*filter(None, map(str.strip, text.replace(":", ",").split(",")))]
    # Scripts may name several, of which one is there; and what was not sent may set it up.
    all_told = not machine.not_sent and (len(names) == 1 or not style.numbered)
    for name in names:
        if style.numbered and name.startswith("-"):
            return
        group = style.heater(name, machine.groups)
        if group is None:
            unknown = "" if all_told else f"no heater {name!r} is set up"
            yield Claim(own, attribute, text if unknown else "none", unknown=unknown)
            return
        known = (f"{group[0]}{group[1] or ''}.{function}" for function in ("heater", "sensor"))
        if (watched := next(filter(is_role, known), None)) is None:
            yield Claim(own, attribute, text, unknown=f"no heater or sensor {name!r} is known")
            return
        found.append(watched)
    own_heater = own.rpartition(".")[0] + ".heater"
    for watched in sorted(dict.fromkeys(found), key=own_heater.__ne__):
        yield Claim(own, attribute, watched)


def _of_tool(machine: Interpretation, own: str, text: str, attribute: str) -> Claim:
    """Return the claim of the heater or fan that a tool names: its own where it is among them.

    Scripts of the older generation create nothing: what none of them sets is there all the same.
    """
    function = own.rpartition(".")[2]
    named = [machine.groups.of(function, number) for number in numbers(text)]
    found = [str(role(*group, function)) for group in named if group]
    unknown = ""
    if not all(named) and machine.not_sent:
        unknown = f"{machine.not_sent[0].name}, which was not sent, may set up {function} {text}"
    elif not all(named) and not machine.things.of("sensor"):
        unknown = f"no line says what {function} {text} is for"
    return Claim(
        own, attribute, own if own in found else next(iter(found), "none"), unknown=unknown
    )


def _regulating(machine: Interpretation, heater: str, text: str) -> str:
    """Return the sensor that a heater names.

    Older commands number the inputs after the heaters that have them without being told.
    """
    things = machine.things
    for number in numbers(text)[:1]:
        if things.of("sensor"):
            group = machine.groups.of("sensor", number)
        else:
            taken = number == heater or things.link("input of heater", number) in ("", number)
            group = machine.groups.of("heater", number) if taken else None
        if group:
            return str(role(*group, "sensor"))
    raise ValueError(f"no sensor {text} is set up")


def _pin_claims(
    machine: Interpretation, entry: Entry, role_: str, text: str, setting: Setting | None
) -> Iterator[Claim]:
    style = machine.style
    unresolved = setting is not None and setting.resolved is None
    text = setting.value.strip() if setting and unresolved else text
    chip, _, name = text.partition(":")
    shared = bool(style.shared) and chip.strip().lower() == style.shared
    if shared:
        text = machine.pins.shared.get(name.strip(), text)
    listed = style.pieces(text)
    own = listed[entry.nth - 1 :][:1] if not shared else listed
    for piece in listed if entry.several else own:
        pin = machine.pins.read(piece.text, analog=entry.read_as == "analog pin")
        if unresolved and setting and pin.unknown:
            pin = evolve(pin, unknown=setting.unknown or pin.unknown, misnamed=False)
        yield Claim(role_, entry.attribute, pin, unknown=pin.unknown)
    if not style.pulls or entry.attribute != "pin" or pin.absent or pin.virtual:
        return
    written = style.parted(own[0].text)
    if entry.read_as in ("input pin", "output pin"):
        yield Claim(role_, "inverted", written.inverted != entry.invert)
    if entry.read_as == "pulse pin":
        yield Claim(role_, "inverted", written.inverted, unknown=_COUNTED)
    if entry.read_as in ("input pin", "pulse pin"):
        yield Claim(role_, "pull", written.pull)
