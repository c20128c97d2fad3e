"""The arguments of a macro's call: taken off the words to come, and matched with its parameters."""

from pincheck.readers.define.lines import DefineLine
from pincheck.readers.define.substitution import NOWHERE, MacroWord, trimmed


class UndecidedError(Exception):
    """The files do not say what a value comes to; the message is the reason."""


class MisuseError(UndecidedError):
    """A macro cannot be replaced because of a mistake; the message says which."""


def arguments(
    stack: list[MacroWord], name: str
) -> tuple[list[list[MacroWord]], frozenset[str]] | None:
    """Take a call's arguments off the stack; None, taking nothing, where no bracket follows.

    Also returned is what hides in the closing bracket.
    """
    at = len(stack) - 1
    while at >= 0 and stack[at][0].isspace():
        at -= 1
    if at < 0 or stack[at][0] != "(":
        return None
    del stack[at:]
    found: list[list[MacroWord]] = [[]]
    depth = 1
    while stack:
        item = stack.pop()
        depth += (item[0] == "(") - (item[0] == ")")
        if not depth:
            return [trimmed(argument) for argument in found], item[1]
        if item[0] == "," and depth == 1:
            found.append([])
        else:
            found[-1].append(item)
    raise MisuseError(f"the bracket of {name}( is never closed")


def named(macro: DefineLine, arguments: list[list[MacroWord]]) -> dict[str, list[MacroWord]]:
    """Return each parameter with its argument; the last may take any number."""
    names = macro.parameters or ()
    if not names and arguments == [[]]:
        return {}
    if names and names[-1].endswith("..."):
        fixed, rest = names[:-1], arguments[len(names) - 1 :]
        several: list[MacroWord] = []
        for argument in rest:
            several += [
                *([(",", NOWHERE)] if several or argument is not rest[0] else []),
                *argument,
            ]
        if len(arguments) >= len(fixed):
            last = names[-1][:-3].strip() or "__VA_ARGS__"
            return {**dict(zip(fixed, arguments, strict=False)), last: several}
    elif len(arguments) == len(names):
        return dict(zip(names, arguments, strict=True))
    raise MisuseError(f"{macro.name}( ) takes {len(names)} values, {len(arguments)} are given")
