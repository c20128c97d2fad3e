"""What commands speak of: the kinds of objects, and which command creates or sets which.

Source: the public sources of the style; what creates anew only with some letter is from memory.
"""

from collections.abc import Iterator, Mapping

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.readers.gcode.command_words import Command, CommandWord

AXES = "XYZUVWABCDabcd"

BY_AXIS = {"M574": AXES}
"""Commands that speak of each axis whose letter they carry."""

FURTHER = {"M143": "P"}
"""The letter that counts several of what a command selects: monitors of one heater."""

BY_LETTER = frozenset(("M584", "M906"))
"""Commands of which every letter speaks of another object."""

UNSAID = {"M143": ("H", "1"), "M558": ("K", "0")}
"""What a command speaks of that does not say it (from memory)."""

ObjectKey = tuple[str, str]
"""Kind and number of an object."""


@frozen
class ObjectKind:
    """One kind of object.

    `maker` is the command that creates it, `letter` the one that says which. `anew` are the
    letters without which that command sets what is there, each with the values that count
    (none given: any); `differs` is the letter that creates anew where its value does.
    `setters` are the other commands that set it, each with its selecting letter. `given` is
    whether the firmware has one from the beginning. `clears` are letters that reset another.
    """

    name: str
    maker: str
    letter: str
    anew: Mapping[str, tuple[str, ...]] = field(factory=dict)
    differs: str = ""
    setters: Mapping[str, str] = field(factory=dict)
    given: bool = False
    clears: Mapping[str, str] = field(factory=dict)


_PIN: Mapping[str, tuple[str, ...]] = {"C": ()}

_OF_HEATERS = ("M143", "M301", "M303", "M307", "M570")

KINDS = (
    ObjectKind("heater", "M950", "H", _PIN, setters=dict.fromkeys(_OF_HEATERS, "H")),
    ObjectKind("input", "M950", "J", _PIN),
    ObjectKind("fan", "M950", "F", _PIN, setters={"M106": "P", "M107": "P"}),
    ObjectKind("servo", "M950", "S", _PIN, setters={"M280": "P"}),
    ObjectKind("output", "M950", "P", _PIN, setters={"M42": "P"}),
    ObjectKind("slot", "M950", "D"),
    ObjectKind("light", "M950", "E", _PIN),
    ObjectKind("spindle", "M950", "R"),
    ObjectKind("sensor", "M308", "S", {"Y": ()}, clears={"B": "C"}),
    ObjectKind("probe", "M558", "K", _PIN, differs="P", given=True),
    ObjectKind("tool", "M563", "P", dict.fromkeys("DFHLRSXY", ()),
               setters={"G10": "P", "M568": "P"}),
    ObjectKind("filament monitor", "M591", "D", {"P": ()}),
    ObjectKind("end stop", "M574", "", {"P": (), "S": ("2", "3", "4")}, given=True),
    ObjectKind("drive", "M584", "", setters={"M906": ""}, given=True),
)  # fmt: skip

_FIRST = {
    "G31": "K", "M104": "T", "M109": "T", "M140": "PH", "M141": "PH", "M190": "PH", "M305": "P",
    "M557": "K", "M569": "P", "M575": "P", "M581": "TP", "M912": "P", "M955": "P", "M956": "P",
}  # fmt: skip
"""Letters that say which of several a command means, in order of preference, where no object is
followed."""

KIND_OF: dict[tuple[str, str], ObjectKind] = {(kind.maker, kind.letter): kind for kind in KINDS}
KIND_OF |= {(name, letter): kind for kind in KINDS for name, letter in kind.setters.items()}
_LETTERS = dict(_FIRST)
for _name, _letter in KIND_OF:
    _LETTERS[_name] = _LETTERS.get(_name, "") + _letter


def selectors(command: Command) -> Iterator[CommandWord]:
    """Yield the words that say what a command is about; none where it speaks of no single thing."""
    base = command.name.partition(".")[0]
    if base in BY_AXIS:
        yield from (word for word in command.words if word.key in BY_AXIS[base])
        return
    letters = _LETTERS.get(base, "")
    found = [word for word in command.words if word.key in letters and word.key]
    if base == "M950":
        yield from found[:1]
    else:
        yield from sorted(found, key=lambda word: letters.index(word.key))[:1]


BEDS = frozenset(("M140", "M190"))
"""The commands that make a heater a bed's: the second waits for it, too."""

FOLLOWED = frozenset(name for name, _ in KIND_OF) | BEDS
"""The commands that create, set or reset an object."""


def of_section(section: str) -> tuple[ObjectKey | None, bool]:
    """Return the object that a section speaks of, and whether its command may create it."""
    name, _, chosen = section.partition(" ")
    letter, number = chosen.partition(" ")[0][:1], chosen.partition(" ")[0][1:]
    if not letter:
        letter, number = UNSAID.get(name, ("", ""))
    if name in BEDS and letter == "H":
        return ("heater", number), False
    if name in BY_AXIS:
        letter, number = "", letter
    kind = KIND_OF.get((name, letter))
    return (kind.name, number) if kind else None, kind is not None and kind.maker == name


def plain(number: str) -> str:
    """Return a number without leading zeros, anything else as it is."""
    return (number.lstrip("0") or "0") if number.isdecimal() else number
