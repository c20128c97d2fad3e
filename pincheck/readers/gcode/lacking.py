"""Commands that lack the letter without which they do nothing."""

from pincheck.readers.gcode.command_words import Command
from pincheck.readers.gcode.kinds import selectors

_WHICH = {
    "M106": ("P", "BCFHILTX"),
    "M307": ("H", ""),
    "M308": ("S", ""),
    "M563": ("P", "DFHS"),
    "M570": ("H", "PT"),
    "M950": ("H, F, S, P, J or E", ""),
}
"""Commands that do nothing without the letter that says which thing they mean: it, and those of
the other letters that only make sense with it (empty: all do). From memory."""


def lacking(command: Command) -> tuple[str, str] | None:
    """Return what comes of a command that lacks a letter, and which would be right."""
    which, beside = _WHICH.get(command.name, ("", ""))
    given = {word.key for word in command.words}
    if which and given and not any(selectors(command)) and (not beside or given & set(beside)):
        return f"{command.name} does not say which one it means and does nothing", f"letter {which}"
    if command.name == "M563" and "H" in given and "D" not in given:
        return "this tool has a heater and no drive: it extrudes nothing", "letter D"
    return None
