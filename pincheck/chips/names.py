"""Which chips a name can mean, as board files and users write it."""

import re
from collections.abc import Iterable

_STM32 = re.compile(
    r"(?P<line>stm32[a-z]+\d[0-9a-z]{2})(?P<body>[0-9a-z]{0,3})(?P<grade>\d?)(?P<variant>[a-z]*)"
)
_SAM = re.compile(r"sam[a-z]\d\d")


def tidy(text: str) -> str:
    """Return a chip's name in lower case without blanks and without a maker's prefix."""
    name = re.sub(r"[\s_]", "", text.lower())
    return name.removeprefix("at") if name.startswith("atsam") else name


def key_of(partname: str) -> str:
    """Return the name under which a part is filed: its order code without the grade.

    Temperature grade, speed and, for AVR, the package change nothing about the pins.
    """
    name = tidy(partname)
    if match := _STM32.fullmatch(name):
        return match["line"] + match["body"] + match["variant"]
    if _SAM.match(name):
        return re.sub(r"(-[a-z]+)[a-z]$", r"\1", name)
    return name.partition("-")[0]


def matches(text: str, keys: Iterable[str]) -> list[str]:
    """Return every key that the name can mean: one for a full name, several for a short one."""
    name = tidy(text)
    if match := _STM32.fullmatch(name):
        return _stm32(match, keys)
    if _SAM.match(name):
        return _prefix(name, keys)
    return [key for key in keys if key == name.partition("-")[0]]


def _stm32(name: re.Match[str], keys: Iterable[str]) -> list[str]:
    keys = list(keys)
    stem = name["line"] + name["body"]
    if full := [k for k in (stem + name["variant"], stem) if k in keys]:
        return full[:1]
    # "x" stands for "any" in the names that build tools use, and is a real code on few parts
    wild = re.compile(name["line"] + name["body"].replace("x", "."))
    is_open = len(name["body"]) < 3 or "x" in name["body"]
    return [key for key in keys if wild.match(key)] if is_open else []


def _prefix(name: str, keys: Iterable[str]) -> list[str]:
    keys = list(keys)
    longer = [key for key in keys if key.startswith(name)]
    return longer or [key for key in keys if name.startswith(key)]
