"""Which letter of a command says what the command is about: a heater, a fan, a driver, an axis."""

from collections.abc import Iterator

from pincheck.readers.gcode.words import Command, Word

BY_AXIS = {"M574": "XYZUVWABCDabcd"}
"""Commands that speak of each axis whose letter they carry."""

FURTHER = {"M143": "P"}
"""The letter that counts several of what a command selects: monitors of one heater."""

_FIRST = {
    "G10": "P",
    "G31": "K",
    "M42": "P",
    "M104": "T",
    "M106": "P",
    "M107": "P",
    "M109": "T",
    "M140": "PH",
    "M141": "PH",
    "M143": "H",
    "M190": "PH",
    "M280": "P",
    "M301": "H",
    "M303": "H",
    "M305": "P",
    "M307": "H",
    "M308": "S",
    "M557": "K",
    "M558": "K",
    "M563": "P",
    "M568": "P",
    "M569": "P",
    "M570": "H",
    "M575": "P",
    "M581": "TP",
    "M591": "D",
    "M912": "P",
    "M950": "HFJSPDER",
    "M955": "P",
    "M956": "P",
}
"""The letters that may select, in order of preference; M950 carries exactly one of its kinds."""


def selectors(command: Command) -> Iterator[Word]:
    """Yield the words that say what a command is about; none where it speaks of no single thing."""
    base = command.name.partition(".")[0]
    if base in BY_AXIS:
        yield from (word for word in command.words if word.key in BY_AXIS[base])
        return
    letters = _FIRST.get(base, "")
    found = [word for word in command.words if word.key in letters and word.key]
    if base == "M950":
        yield from found[:1]
    else:
        yield from sorted(found, key=lambda word: letters.index(word.key))[:1]
